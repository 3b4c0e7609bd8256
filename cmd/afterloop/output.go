package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
)

// outputs collects the files of one run: each is rendered in full beside its
// target and moved into place only once all are there, so that a failure leaves
// nothing behind and an old file is replaced whole or not at all.
type outputs struct {
	stdout io.Writer
	inputs []string
	ready  []pending
	toStd  []func(io.Writer) error
}

type pending struct{ temp, target string }

// rendering is one output that was asked for.
type rendering struct {
	target string
	render func(io.Writer) error
}

// addAll renders several outputs, each on its own, since none needs another.
func (o *outputs) addAll(rs ...rendering) error {
	errs := make([]error, len(rs))
	parts := make([]outputs, len(rs))
	var wg sync.WaitGroup
	for i, r := range rs {
		parts[i].inputs = o.inputs
		wg.Add(1)
		go func() {
			defer wg.Done()
			errs[i] = parts[i].add(r.target, r.render)
		}()
	}
	wg.Wait()
	for _, p := range parts {
		o.ready, o.toStd = append(o.ready, p.ready...), append(o.toStd, p.toStd...)
	}
	return errors.Join(errs...)
}

// add renders one output to target; "-" is standard output, "" nothing.
func (o *outputs) add(target string, render func(io.Writer) error) error {
	switch target {
	case "":
		return nil
	case "-":
		o.toStd = append(o.toStd, render)
		return nil
	}
	if err := o.refuseInput(target); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(target), ".afterloop-*")
	if err != nil {
		return fmt.Errorf("%s can't be written: %w", target, cause(err))
	}
	o.ready = append(o.ready, pending{f.Name(), target})
	w := bufio.NewWriterSize(f, 1<<16)
	err = errors.Join(render(w), w.Flush(), f.Chmod(0o644), f.Sync(), f.Close())
	if err != nil {
		return fmt.Errorf("%s can't be written: %w", target, err)
	}
	return nil
}

// refuseInput makes sure that no input is overwritten, by whatever name it goes.
func (o *outputs) refuseInput(target string) error {
	t, err := os.Stat(target)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%s can't be written: %w", target, cause(err))
	case t.IsDir():
		return fmt.Errorf("%s is a folder; give a file", target)
	case !t.Mode().IsRegular(): // moving a file into its place would take the device or pipe away
		return fmt.Errorf("%s is a device or a pipe; give a file, or \"-\" for standard output", target)
	}
	for _, in := range o.inputs {
		if i, err := os.Stat(in); err == nil && os.SameFile(i, t) {
			return fmt.Errorf("%s is an input and is never overwritten", target)
		}
	}
	return nil
}

// commit writes what goes to standard output, then moves every file into place.
func (o *outputs) commit() error {
	for _, render := range o.toStd { // first, since it can't be taken back
		w := bufio.NewWriter(o.stdout)
		if err := errors.Join(render(w), w.Flush()); err != nil {
			return fmt.Errorf("standard output: %w", err)
		}
	}
	for len(o.ready) > 0 {
		p := o.ready[0]
		if err := os.Rename(p.temp, p.target); err != nil {
			return fmt.Errorf("%s can't be written: %w", p.target, cause(err))
		}
		o.ready = o.ready[1:]
	}
	return nil
}

// commitWith is commit with a text for the terminal, where nothing else goes there.
func (o *outputs) commitWith(quiet bool, text func(io.Writer) error) error {
	if !quiet && len(o.toStd) == 0 {
		o.toStd = append(o.toStd, text)
	}
	return o.commit()
}

// writeAll prints a result in its forms and as a text, or leaves nothing behind.
func writeAll(s streams, inputs []string, quiet bool, text func(io.Writer) error, rs ...rendering) error {
	out := &outputs{stdout: s.out, inputs: inputs}
	defer out.discard()
	if err := out.addAll(rs...); err != nil {
		return err
	}
	return out.commitWith(quiet, text)
}

// discard removes what was rendered and not committed.
func (o *outputs) discard() {
	for _, p := range o.ready {
		os.Remove(p.temp)
	}
	o.ready = nil
}

// cause strips the temporary name from a file error: it would mean nothing to the reader.
func cause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}

package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// writeAndRead writes a dive and reads it back.
func writeAndRead(t testing.TB, d *Dive) (again *Dive, text string) {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatalf("Write: %v", err)
	}
	text = b.String()
	again, err := Read(&b, "again.csv", Options{})
	if err != nil {
		t.Fatalf("what was written does not read: %v\n%s", err, text)
	}
	return again, text
}

func TestWhatIsWrittenReadsTheSame(t *testing.T) {
	for _, file := range testLogs(t) {
		t.Run(file, func(t *testing.T) {
			d, err := ReadFile(file, Options{})
			if err != nil {
				t.Fatal(err)
			}
			again, text := writeAndRead(t, d)
			if diff := cmp.Diff(d, again, sameDive()); diff != "" {
				t.Errorf("(-read +read again):\n%s\nwritten:\n%s", diff, text)
			}
		})
	}
}

// FuzzRead: nothing makes reading panic or hang; a problem that concerns a line
// names it; what reads is a sound dive, writes back and reads the same.
func FuzzRead(f *testing.F) {
	for _, file := range testLogs(f) {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		if len(data) > 8000 {
			data = data[:8000]
		}
		f.Add(data)
	}
	for _, log := range ruleLogs {
		f.Add([]byte(log))
	}
	f.Add(gzipped(f, ruleLogs[0]))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Read(bytes.NewReader(data), "fuzz.csv", Options{MaxBytes: 1 << 20})
		if err != nil {
			var p Problem
			if !errors.As(err, &p) {
				t.Fatalf("error is no Problem: %v", err)
			}
			if d != nil {
				t.Fatal("a dive beside an error")
			}
			return
		}
		for _, p := range d.Problems {
			if p.Line < 1 && p.Severity != Info && p.Code != "gzip-tail" {
				t.Errorf("problem without a line: %#v", p)
			}
			if p.Count < 1 || p.File == "" || p.Treatment == "" || p.Code == "" {
				t.Errorf("incomplete problem: %#v", p)
			}
		}
		if err := Inspect(d).WriteText(io.Discard); err != nil {
			t.Error(err)
		}
		again, text := writeAndRead(t, d)
		if diff := cmp.Diff(d, again, sameDive()); diff != "" {
			t.Errorf("(-read +read again):\n%s\nwritten:\n%s", diff, text)
		}
	})
}

// ruleLogs are small logs that reach what the files do not.
var ruleLogs = []string{
	"time_s,depth_m,cell1_po2_bar\n1,2,0.3\n1,2,0.4\n3,2,0.3\n2,2,0.5\n",
	"time_s,depth_m,depth_msw,cell1_po2_bar,cell1_po2_ata\n1,2,2,0.3,0.3\n2,-1,-1,9.99,9.99\n3,4,4,9.99,9.99",
	"time_s,depth_fsw,cell2_mv,cell2_vote,cell3_vote,diluent,open_gas,breathing,breathing\n1,2,3,in,out,air,18/45,,open\n2,2,3,in,out,x,,,loop\n",
	"#loop-log:1\n\n#cell1_cal_mv: 50\n#cal_gas_o2: 1\n#cal_pressure_bar: 1\n#cal_gas_humid: yes\ntime_s,ambient1_bar,ambient2_bar,cell1_mv,loop_he1,note,event\n-5,1,1.1,10,0.3,\"a\nb\",bailout;x;x\n-5,,,,,c,\n",
	"time,depth_m,cell1_po2_mbar,cell1_po2_kpa\n59:59,1,9990,99\n1:00:00,1,9990,99\n#late: x\n23:59:59,1,0,0\n0:00:01,1,0,0\n",
	"time_s,depth_m,cell1_po2_bar,x,x,\n1,2,\"0.3,a\n2,2,0.3,b,c,\n",
}

func TestWriteGivesTheWritersError(t *testing.T) {
	d := mustRead(t, ruleLogs[0])
	if err := Write(failingWriter{}, d); !errors.Is(err, errFull) {
		t.Errorf("Write to a full disk: %v", err)
	}
	if err := Inspect(d).WriteText(failingWriter{}); !errors.Is(err, errFull) {
		t.Errorf("WriteText to a full disk: %v", err)
	}
}

var errFull = fmt.Errorf("disk full")

type failingWriter struct{}

func (failingWriter) Write([]byte) (int, error) { return 0, errFull }

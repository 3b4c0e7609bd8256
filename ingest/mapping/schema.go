package mapping

import (
	"encoding/json"
	"regexp"
	"strings"

	"github.com/invopop/jsonschema"
)

// Name is a name that a table of a mapping may have: '#' stands for a number
// from 1 and '@' for a letter.
type Name struct{ Pattern, Meaning string }

// Schema is the JSON Schema (draft 2020-12) of a mapping file, every key with
// its meaning. columns and keys are the names that the tables columns and
// metadata may have, which the format knows.
func Schema(columns, keys []Name) ([]byte, error) {
	r := &jsonschema.Reflector{Anonymous: true, ExpandedStruct: true, DoNotReference: true, FieldNameTag: "toml", RequiredFromJSONSchemaTags: true}
	s := r.Reflect(Mapping{})
	s.ID = "urn:afterloop:mapping:1"
	s.Title = "afterloop mapping file, version 1 (TOML)"
	s.Description = "Describes a family of log files that are no loop logs. Units: " + unitNames()
	if p, ok := s.Properties.Get("mapping"); ok {
		p.Const = Version
	}
	for _, t := range []struct {
		table string
		names []Name
	}{{"columns", columns}, {"metadata", keys}} {
		p, ok := s.Properties.Get(t.table)
		if !ok {
			continue
		}
		p.PropertyNames = &jsonschema.Schema{AnyOf: anyOf(t.names)}
	}
	b, err := json.MarshalIndent(s, "", "  ")
	return b, err
}

// anyOf is one pattern for each name, with its meaning.
func anyOf(names []Name) []*jsonschema.Schema {
	var all []*jsonschema.Schema
	for _, n := range names {
		pattern := strings.NewReplacer("#", "[1-9][0-9]{0,3}", "@", "[A-Za-z]").Replace(regexp.QuoteMeta(n.Pattern))
		all = append(all, &jsonschema.Schema{Pattern: "^" + pattern + "$", Description: n.Meaning})
	}
	return all
}

func unitNames() string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}

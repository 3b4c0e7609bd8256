package report

import (
	"os"
	"reflect"
	"strings"
	"testing"
)

// TestRemarksFile: the type has the keys that the page's script asks for, and its limits.
func TestRemarksFile(t *testing.T) {
	script, err := os.ReadFile("assets/js/13-remarks.js")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"'" + RemarksFormat + "'", keyList(RemarksFile{}), keyList(Remark{}), "remarks: 500", "who: 60", "text: 2000"} {
		if !strings.Contains(string(script), want) {
			t.Errorf("the script has no %s", want)
		}
	}
}

// keyList is the keys of a type as the script lists them.
func keyList(v any) string {
	var keys []string
	for i := range reflect.TypeOf(v).NumField() {
		keys = append(keys, "'"+reflect.TypeOf(v).Field(i).Tag.Get("json")+"'")
	}
	return "[" + strings.Join(keys, ", ") + "]"
}

package days

import "afterloop/analysis"

// FindingKinds lists the kinds of finding of a series, with their titles.
func FindingKinds() map[string]string {
	out := map[string]string{}
	for name, k := range kinds() {
		out[name] = k.title
	}
	return out
}

// DescribeKind is what all findings of one kind share.
func DescribeKind(name string) (analysis.Finding, bool) {
	if _, ok := kinds()[name]; !ok {
		return analysis.Finding{}, false
	}
	return complete([]analysis.Finding{{Kind: name, Severity: analysis.Note}})[0], true
}

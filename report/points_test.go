package report

import (
	"encoding/json"
	"testing"
)

func TestPointsJSON(t *testing.T) {
	for _, c := range []struct {
		data []point
		want string
	}{
		{nil, `[]`},
		{[]point{{0, 1}, {1, 2.0004}}, `[[0,1],[1,2]]`},
		{[]point{{0, 1}, {1, 2}, {1, nan}, {5, 3}, {6, 3}}, `[[0,1],[1,2],[1,null],[5,3],[6,3]]`},
		{[]point{{0.5, 1.25}}, `[{"value":[0.5,1.25],"symbol":"circle","symbolSize":4}]`},
		{[]point{{0, 1}, {0, nan}, {2, 3}, {2, nan}, {4, 5}, {5, 5}},
			`[{"value":[0,1],"symbol":"circle","symbolSize":4},[0,null],{"value":[2,3],"symbol":"circle","symbolSize":4},[2,null],[4,5],[5,5]]`},
	} {
		b, err := json.Marshal(points{data: c.data, decimals: 3})
		if err != nil {
			t.Fatal(err)
		}
		if string(b) != c.want {
			t.Errorf("got  %s\nwant %s", b, c.want)
		}
	}
}

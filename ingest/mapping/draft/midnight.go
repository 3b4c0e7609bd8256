package draft

import "afterloop/ingest/mapping"

// writeDate writes the column of dates with its form. Where the file fits several
// forms both stay comments: the clock alone is enough to read the dive by, and a
// column without its form would keep the mapping from loading.
func (w *writer) writeDate(tm timing, why string) (settled bool) {
	name := q(w.t.columns[tm.dateAt].name)
	if settled = len(tm.dates) == 1; settled {
		w.set("date_column", name, "every field is a date")
	} else {
		w.p("# date_column = %s  # to be given with date_format; without both the clock alone is read\n", name)
	}
	w.chosen("date_format", tm.dates, why)
	return settled
}

// overMidnightS is the most that may lie between two rows on both sides of a
// midnight for them to tell the form of the date. Ours.
const overMidnightS = 3600

// byMidnight settles which of several forms of a date is the file's, where a row
// stands short behind midnight: under the right form the date goes on by a day
// there, under the wrong one by a month or more. Else the forms stay as they are.
func (t *table) byMidnight(tm timing, ofDate bool, forms []string, why string) ([]string, string) {
	if len(forms) < 2 || len(tm.formats) == 0 {
		return forms, why
	}
	var fit []string
	for _, f := range forms {
		m := mapping.Mapping{Time: mapping.Time{Format: tm.formats[0]}, File: mapping.File{Decimal: t.decimal, Thousands: t.thousands}}
		if m.Time.Format = f; ofDate {
			m.Time.Format, m.Time.DateFormat = tm.formats[0], f
		}
		if c, err := m.Clock(); err == nil && t.crosses(tm, ofDate, c) {
			fit = append(fit, f)
		}
	}
	if len(fit) != 1 {
		return forms, why
	}
	return fit, "the rows go over a midnight, which only this form makes one day later"
}

// crosses tells whether a row stands on the next day, short behind the row before.
func (t *table) crosses(tm timing, ofDate bool, c *mapping.Clock) bool {
	day, s, known := int64(0), 0.0, false
	for _, row := range t.rows {
		date := ""
		if ofDate {
			date = row[tm.dateAt]
		}
		m, ok := c.Parse([]byte(date), []byte(row[tm.at]))
		if !ok {
			continue
		}
		if gone := float64(m.Day-day)*86400 + m.S - s; known && m.Day == day+1 && gone > 0 && gone <= overMidnightS {
			return true
		}
		day, s, known = m.Day, m.S, true
	}
	return false
}

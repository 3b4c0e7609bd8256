package supply

import "fmt"

func barText(v float64) string { return fmt.Sprintf("%.0f bar", v) }

func secondsText(v float64) string { return fmt.Sprintf("%.0f s", v) }

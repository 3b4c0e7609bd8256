package supply

// Result is what the cylinders and the batteries tell.
type Result struct {
	Oxygen, Diluent Cylinder
	Balance         Balance
	Level           LevelFall
	Batteries       []Battery
	// ExpectedBar is the oxygen cylinder by the valves alone, row by row; nil where not known.
	ExpectedBar []float64
}

// Analyse looks at all of them. It panics where columns differ in length.
func Analyse(in Input, p Params) Result {
	in.check()
	if len(in.TimeS) == 0 {
		none := "no rows"
		return Result{Oxygen: Cylinder{Reason: none, UsedBar: unknown(none)}, Diluent: Cylinder{Reason: none, UsedBar: unknown(none)},
			Balance: Balance{Cylinder: unknown(none), Valves: unknown(none), Working: unknown(none), Given: unknown(none), Use: unknown(none)}, Level: LevelFall{Reason: none}}
	}
	r := Result{Oxygen: cylinder(in, in.O2CylBar, p), Diluent: cylinder(in, in.DilCylBar, p)}
	r.Oxygen.litres(in, p)
	r.Balance = balance(in, r.Oxygen, p)
	r.Level = levelFall(in, r.Diluent, p)
	for _, v := range in.Batteries {
		r.Batteries = append(r.Batteries, battery(in, v, p))
	}
	r.ExpectedBar = ExpectedBar(in, r.Oxygen, p)
	return r
}

// check panics where the columns are not of one length: that is a mistake of the
// calling program and never one of the data.
func (in Input) check() {
	n := len(in.TimeS)
	columns := [][]float64{in.AmbientBar, in.TempC, in.O2CylBar, in.DilCylBar, in.PO2Bar, in.DryBar, in.FO2Diluent}
	flags := [][]bool{in.GapAfter, in.OnLoop}
	for _, v := range in.Valves {
		columns, flags = append(columns, v.OpenS), append(flags, v.Failed)
	}
	for _, b := range in.Batteries {
		columns, flags = append(columns, b.V), append(flags, b.Lost)
	}
	for _, c := range columns {
		if c != nil && len(c) != n {
			panic("supply: columns differ in length")
		}
	}
	for _, f := range flags {
		if f != nil && len(f) != n {
			panic("supply: columns differ in length")
		}
	}
}

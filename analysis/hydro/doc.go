// Package hydro asks how far a record's pressures and depths can be trusted.
//
// A depth in a log is no length: each instrument turns the pressure that it
// measured into metres with a density and a surface pressure of its own. So where
// pressure and depth are both recorded, they tell which density was assumed, and
// not which water was dived in; and two pressure sensors tell of each other, and
// not which one is right. Everything here is a pure function over columns with one
// element per row; NaN is "not recorded". Equations and sources stand with the
// functions; pressures are absolute bar, depths metres.
//
// Sources: hydrostatics (P = P_surface + rho g z / 1e5, g = 9.80665 m/s2); ISO 2533
// for altitude, through package gas; EN 13319 for the density 1019.7 kg/m3.
package hydro

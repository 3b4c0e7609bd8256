package scenario

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"afterloop/analysis/gas"
)

// Supply is what the unit carries: cylinders and batteries. A spec without one
// records none of it, and its log is the same to the byte.
type Supply struct {
	// OxygenCylinderL and DiluentCylinderL are volumes of water, 0 for no gauge.
	OxygenCylinderL  float64 `json:"oxygen_cylinder_l,omitempty"`
	OxygenStartBar   float64 `json:"oxygen_start_bar,omitempty"` // default 200
	DiluentCylinderL float64 `json:"diluent_cylinder_l,omitempty"`
	DiluentStartBar  float64 `json:"diluent_start_bar,omitempty"` // default 200
	// GaugeStepBar is the step of both gauges, default 1; GaugeNoiseBar their noise, default none.
	GaugeStepBar  float64 `json:"gauge_step_bar,omitempty"`
	GaugeNoiseBar float64 `json:"gauge_noise_bar,omitempty"`
	// CylinderTempC is the cylinders' temperature at the start, default 20. They follow
	// the water with a time constant of TempTauS, default 300 (ours).
	CylinderTempC float64 `json:"cylinder_temp_c,omitempty"`
	TempTauS      float64 `json:"temp_tau_s,omitempty"`
	// WaterTempC is the water at the surface, default 14, BottomTempC below
	// ThermoclineM, default the same; RecordTemp writes it into the log.
	WaterTempC   float64 `json:"water_temp_c,omitempty"`
	BottomTempC  float64 `json:"bottom_temp_c,omitempty"`
	ThermoclineM float64 `json:"thermocline_m,omitempty"`
	RecordTemp   bool    `json:"record_temp,omitempty"`
	// OxygenLossLMin and DiluentLossLMin leave the cylinders for the water, L/min STPD,
	// from LossFromS on.
	OxygenLossLMin  float64   `json:"oxygen_loss_l_min,omitempty"`
	DiluentLossLMin float64   `json:"diluent_loss_l_min,omitempty"`
	LossFromS       float64   `json:"loss_from_s,omitempty"`
	Batteries       []Battery `json:"batteries,omitempty"`
}

// Battery is one battery. The recorder keeps the lowest voltage of each row.
type Battery struct {
	StartV   float64 `json:"start_v"`
	FallVH   float64 `json:"fall_v_h,omitempty"`
	SagV     float64 `json:"sag_v,omitempty"`      // while one of Valves is open
	SagGrowH float64 `json:"sag_grow_h,omitempty"` // growth of the sag an hour, as a share
	DropV    float64 `json:"drop_v,omitempty"`     // a step down at DropAtS
	DropAtS  float64 `json:"drop_at_s,omitempty"`
	NoiseV   float64 `json:"noise_v,omitempty"`
	StepV    float64 `json:"step_v,omitempty"` // default 0.01
	Valves   []int   `json:"valves,omitempty"` // empty: all
}

func (s *Supply) withDefaults() *Supply {
	if s == nil {
		return nil
	}
	c := *s
	set := func(v *float64, to float64) {
		if *v == 0 {
			*v = to
		}
	}
	set(&c.OxygenStartBar, 200)
	set(&c.DiluentStartBar, 200)
	set(&c.GaugeStepBar, 1)
	set(&c.CylinderTempC, 20)
	set(&c.TempTauS, 300)
	set(&c.WaterTempC, 14)
	set(&c.BottomTempC, c.WaterTempC)
	c.Batteries = slices.Clone(c.Batteries)
	for i := range c.Batteries {
		set(&c.Batteries[i].StepV, 0.01)
	}
	return &c
}

func (s *Supply) check(p *problems) {
	if s == nil {
		return
	}
	p.between("supply.oxygen_cylinder_l", s.OxygenCylinderL, 0, 100)
	p.between("supply.diluent_cylinder_l", s.DiluentCylinderL, 0, 100)
	p.between("supply.oxygen_start_bar", s.OxygenStartBar, 1, 300)
	p.between("supply.diluent_start_bar", s.DiluentStartBar, 1, 300)
	p.between("supply.gauge_step_bar", s.GaugeStepBar, 1e-6, 20)
	p.between("supply.gauge_noise_bar", s.GaugeNoiseBar, 0, 20)
	p.between("supply.temp_tau_s", s.TempTauS, 1, 1e5)
	p.between("supply.oxygen_loss_l_min", s.OxygenLossLMin, 0, 100)
	p.between("supply.diluent_loss_l_min", s.DiluentLossLMin, 0, 100)
	for i, b := range s.Batteries {
		p.between(fmt.Sprintf("supply.batteries[%d].start_v", i), b.StartV, 0.1, 100)
		p.between(fmt.Sprintf("supply.batteries[%d].step_v", i), b.StepV, 1e-6, 1)
	}
}

// carried is what the unit carries, under way.
type carried struct {
	spec            Supply
	oxygen, diluent *cylinder
	random          *rand.Rand
	tempC, waterC   float64
}

func newCarried(s Spec) *carried {
	if s.Supply == nil {
		return nil
	}
	c := &carried{spec: *s.Supply, random: newRand(s.Seed, streamSupply), tempC: s.Supply.CylinderTempC, waterC: s.Supply.WaterTempC}
	if v := c.spec.OxygenCylinderL; v > 0 {
		c.oxygen = newCylinder(v, c.spec.OxygenStartBar, c.tempC, oxygenGas)
	}
	if v := c.spec.DiluentCylinderL; v > 0 {
		c.diluent = newCylinder(v, c.spec.DiluentStartBar, c.tempC, nitrogenGas)
	}
	return c
}

// advance takes one step: what was drawn, in L STPD, and the temperature.
func (c *carried) advance(tS, depthM, oxygenL, diluentL float64) {
	c.waterC = c.spec.WaterTempC
	if c.spec.ThermoclineM > 0 && depthM > c.spec.ThermoclineM {
		c.waterC = c.spec.BottomTempC
	}
	c.tempC += (c.waterC - c.tempC) * (1 - math.Exp(-stepS/c.spec.TempTauS))
	if tS >= c.spec.LossFromS {
		oxygenL += c.spec.OxygenLossLMin * stepS / 60
		diluentL += c.spec.DiluentLossLMin * stepS / 60
	}
	if c.oxygen != nil {
		c.oxygen.draw(oxygenL)
	}
	if c.diluent != nil {
		c.diluent.draw(diluentL)
	}
}

// columns are the columns that it records, in order.
func (s *Supply) columns() []Column {
	if s == nil {
		return nil
	}
	var cols []Column
	if s.RecordTemp {
		cols = append(cols, Column{Name: "temp_c", Decimals: 1})
	}
	if s.OxygenCylinderL > 0 {
		cols = append(cols, Column{Name: "o2_cyl_bar", Decimals: decimals(s.GaugeStepBar)})
	}
	if s.DiluentCylinderL > 0 {
		cols = append(cols, Column{Name: "dil_cyl_bar", Decimals: decimals(s.GaugeStepBar)})
	}
	for i, b := range s.Batteries {
		cols = append(cols, Column{Name: fmt.Sprintf("battery%d_v", i+1), Decimals: decimals(b.StepV)})
	}
	return cols
}

// numbers are the readings of this moment in the order of columns; openS is what
// each valve was commanded since the last row.
func (c *carried) numbers(tS float64, openS []float64) []field {
	var row []field
	if c.spec.RecordTemp {
		row = append(row, field{num: toStep(c.waterC, 0.1)})
	}
	for _, cyl := range []*cylinder{c.oxygen, c.diluent} {
		if cyl != nil {
			bar := cyl.bar(c.tempC) + c.spec.GaugeNoiseBar*c.random.NormFloat64()
			row = append(row, field{num: math.Max(0, toStep(bar, c.spec.GaugeStepBar))})
		}
	}
	for _, b := range c.spec.Batteries {
		row = append(row, field{num: math.Max(0, toStep(b.at(tS, openS)+b.NoiseV*c.random.NormFloat64(), b.StepV))})
	}
	return row
}

// at is the lowest voltage of the row that ends at tS.
func (b Battery) at(tS float64, openS []float64) float64 {
	hours := tS / 3600
	v := b.StartV - b.FallVH*hours
	if b.DropV > 0 && tS >= b.DropAtS {
		v -= b.DropV
	}
	for k, s := range openS {
		if s > 0 && (len(b.Valves) == 0 || slices.Contains(b.Valves, k+1)) {
			return v - b.SagV*(1+b.SagGrowH*hours)
		}
	}
	return v
}

// gasConstants of the equation of Peng and Robinson (Ind. Eng. Chem. Fundam. 15:59,
// 1976): critical temperature, K, critical pressure, bar, acentric factor.
type gasConstants struct{ tcK, pcBar, omega float64 }

var (
	oxygenGas   = gasConstants{154.581, 50.43, 0.0222}
	nitrogenGas = gasConstants{126.19, 33.96, 0.0372}
)

// cylinder holds a real gas by the equation of Peng and Robinson:
//
//	p = R T n/(V - n b) - a n^2/(V^2 + 2 b V n - b^2 n^2)
//
// It is not the equation that the analysis uses, and some 2 % off it at 200 bar.
type cylinder struct {
	volumeL float64
	mol     float64
	gas     gasConstants
}

const gasR = 0.083144626 // bar L/(mol K)

func newCylinder(volumeL, bar, tempC float64, g gasConstants) *cylinder {
	c := &cylinder{volumeL: volumeL, gas: g}
	low, high := 0.0, 2*bar*volumeL/(gasR*(tempC+273.15))
	for range 60 {
		c.mol = (low + high) / 2
		if c.bar(tempC) < bar {
			low = c.mol
		} else {
			high = c.mol
		}
	}
	return c
}

func (c *cylinder) bar(tempC float64) float64 {
	t, g := tempC+273.15, c.gas
	k := 0.37464 + 1.54226*g.omega - 0.26992*g.omega*g.omega
	alpha := math.Pow(1+k*(1-math.Sqrt(t/g.tcK)), 2)
	a := 0.45724 * gasR * gasR * g.tcK * g.tcK / g.pcBar * alpha
	b := 0.07780 * gasR * g.tcK / g.pcBar
	v, n := c.volumeL, c.mol
	return gasR*t*n/(v-n*b) - a*n*n/(v*v+2*b*v*n-b*b*n*n)
}

// draw takes litres STPD out; none is left below zero.
func (c *cylinder) draw(litres float64) {
	c.mol = math.Max(0, c.mol-litres*gas.BarPerAta/(gasR*273.15))
}

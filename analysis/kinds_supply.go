package analysis

// supplyKinds are findings on cylinders and batteries.
func supplyKinds() map[string]kind {
	manual := "The limits of a battery stand in the equipment's own manual, and so does what to do about it."
	return map[string]kind{
		"oxygen-balance": {
			title:        "Oxygen: cylinder and valves do not agree",
			alternatives: []string{"a figure stated in the log is not that of this unit", "additions by hand that the log does not hold"},
			wouldChange:  "a cylinder volume, a flow or a temperature that brings the accounts together",
			advice: Advice{Diver: "Compare the figures stated in the log with the unit's: cylinder volume, flow. Think back to additions by hand and filling of the loop.",
				Technician: "Measure the valve's flow and test cylinder valve, regulator and hoses for tightness by the equipment's own procedure.",
				Instructor: "Three accounts of one gas: pressure, valves, metabolism. Ask which assumption each rests on, before asking what leaked."}},
		"diluent-falls": {
			title:        "Diluent fell at constant depth",
			alternatives: []string{"a suit or a wing that was filled from this cylinder", "gas lost through the mask or the mouth and made up with diluent", "additions by hand that the log does not hold", "a cylinder that cooled by more than was allowed for"},
			wouldChange:  "a pressure that stands while the depth does",
			advice: Advice{Diver: "Think back to what else hangs on this cylinder, to mask clearing and to a leaking mouthpiece. Have the unit checked for tightness before the next dive.",
				Technician: "Test loop, diluent valve and hoses for tightness by the equipment's own procedure.",
				Instructor: "At constant depth oxygen replaces what is used, and the loop keeps its volume: diluent should stand."}},
		"battery-low": {
			title:        "Battery below the limit given",
			alternatives: []string{"a limit that is not this battery's", "a gauge that is off"},
			wouldChange:  "a voltage above the limit",
			advice: Advice{Diver: "Change or charge the battery by the equipment's own procedure before the next dive.",
				Technician: manual, Instructor: "Ask what the unit does when its battery ends, and how that would look."}},
		"battery-sag": {
			title:        "Battery weakens under load",
			alternatives: []string{"a battery that grows cold", "a contact or a cable whose resistance grows", "a load other than the valves"},
			wouldChange:  "a sag that stays as it was, without steps",
			advice: Advice{Diver: "Have battery and contacts checked before the next dive. " + manual,
				Technician: "Measure voltage under load, contacts and cable by the equipment's own procedure; note temperature and age.",
				Instructor: "A battery shows its state under load: compare rows with a valve open with the rows around."}},
	}
}

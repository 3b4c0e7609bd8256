package vote

// Policies are all policies, in the order in which they are shown.
func Policies() []Policy {
	return []Policy{
		midValue(),
		mean(),
		worstFirst(),
		leaveOneOut(),
		closestPair(),
		majority(),
		lowest(),
		highest(),
	}
}

// ByName finds a policy by its name.
func ByName(name string) (Policy, bool) {
	for _, p := range Policies() {
		if p.Name == name {
			return p, true
		}
	}
	return Policy{}, false
}

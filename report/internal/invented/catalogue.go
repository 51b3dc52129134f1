package invented

import (
	"pitlist/score"
	"pitlist/score/life"
)

// Indices of the parts in the catalogue.
const (
	Follower = iota
	Release
	Hose
	Slew
	Valve
)

// Catalogue has five parts of different systems; the hose can injure, the
// slew ring wears by hours, the bearing is renewed like for like.
func Catalogue() *score.Catalogue {
	return &score.Catalogue{Digest: "3f1c0e5d9b", Parts: []score.WeakPart{follower(), release(), hose(), slew(), valve()}}
}

func follower() score.WeakPart {
	return score.WeakPart{
		ID: "pump-follower", Name: "High-pressure pump follower", System: "fuel injection", Source: "Invented for the tests",
		Reviewed: Today - 60, ShareIfUnknown: 0.45, Axis: score.ByKM,
		Onset: life.Weibull{Shape: 3.2, Scale: 215000}, Delay: life.Weibull{Shape: 1.8, Scale: 42000}, Weight: 12,
		Consequence: score.CostsMoney, Kit: score.Kit{PartNo: "KD-1180-B", Quantity: 1},
		Inspection: score.InspectionPlan{
			Visit: "engine top", SetUpHours: 0.5, Hours: 0.75, Detects: 0.92, FalseAlarm: 0.01,
			Steps: []string{
				"Let the engine cool and take the pressure off the rail; wait ten minutes.",
				"Take off the pump's top cover and lift the follower out.",
				"Look at the running face under a lamp: pitting or a step is wear.",
				"Measure the wear of the tappet against a straight edge at three places; the greatest counts.",
			},
			Tools:    []string{"rail gauge", "straight edge", "feeler set", "lamp"},
			Limits:   []score.Limit{{Measure: "tappet_mm", SoundTo: 0.10, WornFrom: 0.30}},
			Cautions: []string{"Fuel under high pressure cuts skin: never feel for a leak with the hand."},
		},
		Costs: score.Costs{PlannedRepair: 3600, Failure: 11800, OffRoadDays: 4},
	}
}

func release() score.WeakPart {
	return score.WeakPart{
		ID: "clutch-release", Name: "Clutch release bearing", System: "clutch", Source: "Invented for the tests", Reviewed: Today - 200,
		ShareIfUnknown: 0.6, Axis: score.ByKM, Onset: life.Weibull{Shape: 2.4, Scale: 160000}, Delay: life.Weibull{Shape: 1.5, Scale: 30000},
		Weight: 6, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Visit: "gearbox", SetUpHours: 0.25, Hours: 0.5, Detects: 0.7,
			Steps: []string{"Press the pedal with the engine running and listen at the bell housing.", "Measure the free travel of the fork."},
			Tools: []string{"listening rod"}, Limits: []score.Limit{{Measure: "fork_travel_mm", SoundTo: 4, WornFrom: 2}}},
		Costs: score.Costs{PlannedRepair: 900, Failure: 2600, OffRoadDays: 2},
	}
}

func hose() score.WeakPart {
	return score.WeakPart{
		ID: "brake-hose", Name: "Front brake hose", System: "brakes", Source: "Invented for the tests", Reviewed: Today - 30,
		ShareIfUnknown: 0.3, Axis: score.ByKM, Onset: life.Weibull{Shape: 4, Scale: 190000}, Delay: life.Weibull{Shape: 2, Scale: 25000},
		Weight: 20, Consequence: score.CanInjure, RiskKM: 3000, RiskLimit: 0.02, WornLimit: 0.3,
		Inspection: score.InspectionPlan{Hours: 0.25, Detects: 0.95,
			Steps: []string{"Turn the wheels to full lock and look along both hoses for cracks and chafing.", "Have a second person press the pedal; look for swelling."},
			Tools: []string{"lamp", "mirror"}},
		Costs: score.Costs{PlannedRepair: 220, Failure: 5000, OffRoadDays: 3},
	}
}

func slew() score.WeakPart {
	return score.WeakPart{
		ID: "slew-bolts", Name: "Slew ring bolts", System: "crane", Source: "Invented for the tests", Reviewed: Today - 90,
		ShareIfUnknown: 1, Axis: score.ByHours, Onset: life.Weibull{Shape: 2, Scale: 9000}, Delay: life.Weibull{Shape: 2, Scale: 1500},
		Weight: 4, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Hours: 1, Detects: 0.9, Steps: []string{"Check the torque of every fourth bolt."}, Tools: []string{"torque wrench"}},
		Costs:      score.Costs{PlannedRepair: 800, Failure: 9000, OffRoadDays: 6},
	}
}

func valve() score.WeakPart {
	return score.WeakPart{
		ID: "coolant-valve", Name: "Coolant valve", System: "cooling", Source: "Own judgement", CurveSource: "learned.yaml", Reviewed: Today - 400,
		ShareIfUnknown: 0.5, Axis: score.ByKM, Onset: life.Weibull{Shape: 1.6, Scale: 240000}, Delay: life.Weibull{Shape: 1.1, Scale: 60000},
		Weight: 3, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Hours: 0.25, Detects: 0.8, Steps: []string{"Feel the hose after the valve with the engine warm."}},
		Costs:      score.Costs{PlannedRepair: 260, Failure: 1500, OffRoadDays: 1},
	}
}

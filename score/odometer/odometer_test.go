package odometer

// series makes readings a fixed number of days apart, all by scan and without a stated unit.
func series(first Day, apart int, km ...float64) []Reading {
	var readings []Reading
	for i, v := range km {
		readings = append(readings, Reading{Day: first + Day(i*apart), KM: v, Source: "scan", Ref: i})
	}
	return readings
}

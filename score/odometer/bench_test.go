package odometer

import (
	"strconv"
	"testing"
)

// six is a vehicle as most are: six readings over two years.
func six() []Reading {
	return series(20000, 120, 50000, 57200, 64900, 71000, 78800, 86100)
}

func BenchmarkAssessSix(b *testing.B) {
	readings := six()
	b.ReportAllocs()
	for b.Loop() {
		Assess(readings, 20700, Usage{Default: 450}, Limits{})
	}
}

// BenchmarkAssessYear is a vehicle with two readings a week, as a record holds it.
func BenchmarkAssessYear(b *testing.B) {
	var readings []Reading
	for i := range 104 {
		readings = append(readings, Reading{Day: Day(20000 + i*7/2), KM: 50000 + 450*float64(i) + float64(i*i*37%200)})
	}
	b.ReportAllocs()
	for b.Loop() {
		Assess(readings, 20370, Usage{Default: 450}, Limits{})
	}
}

// BenchmarkAssessThousand is a vehicle with a reading a day, one of them in miles.
func BenchmarkAssessThousand(b *testing.B) {
	var readings []Reading
	for i := range 1000 {
		readings = append(readings, Reading{Day: Day(18000 + i), KM: 50000 + 60*float64(i)})
	}
	for name, last := range map[string]float64{"in order": 110000, "one in miles": 110000 / KMPerMile} {
		readings[999].KM = last
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Assess(readings, 19010, Usage{Default: 450}, Limits{})
			}
		})
	}
}

func BenchmarkKMAt(b *testing.B) {
	e := Assess(six(), 20700, Usage{Default: 450}, Limits{})
	for b.Loop() {
		e.KMAt(20333)
	}
}

// BenchmarkAssessMess is a wrong join: the time a reading must not grow with their number.
func BenchmarkAssessMess(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		readings := mess(n)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				Assess(readings, 40000, Usage{Default: 450}, Limits{})
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/reading")
		})
	}
}

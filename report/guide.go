package report

import (
	"fmt"
	"strings"
)

// Chapter is a heading with its paragraphs.
type Chapter struct {
	Heading    string
	Paragraphs []string
}

// guide is the sheet on how to read the list and what it cannot know.
func guide(d *Document) []Chapter {
	return []Chapter{readingTheList(d), sendingBack(), oddsInWords(), theMethod(), theLimits(), care(), thisRun(d)}
}

func readingTheList(d *Document) Chapter {
	c := Chapter{"What this list is", []string{
		"A list is a reason to look, not a diagnosis. It says which vehicles to open first in the hours that there are, and why.",
		"It stands in this order: parts found worn already (a repair, not a look); parts whose failure can injure and whose risk is over its limit (taken in whatever the hours); then where waiting costs most for an hour in the bay; then the line; then the rest.",
		"“Take in?” says yes above the line and wait below it. What is marked today stands at the head without a probability, since nothing in the catalogue gives it one.",
		"“Chance worn” is the chance that the part named is worn now, which a look can find. It is not the chance that it fails tomorrow; that stands further right.",
		"“Waiting costs” is what putting the look off until the next run is expected to cost, in " + orMoney(d.Run.Currency) + ". Hours are rounded up to quarters; “hours so far” runs down the list within a depot.",
	}}
	switch d.Run.Desk {
	case "trade-in", "auction":
		c.Paragraphs = append(c.Paragraphs, "This run was made for the "+d.Run.Desk+" desk.")
	}
	return c
}

func sendingBack() Chapter {
	return Chapter{"Sending results back", []string{
		"Fill in the framed cells of the sheet Results, or of the cards, for what was looked at or repaired; leave the rest empty. A part's row has the same number on both. What both say alike counts once; where they contradict each other, neither is used until one is corrected.",
		"Save the workbook and put it into the intake folder, under any name. The next run reads its results and cards and nothing else of it: sound lowers the vehicle, worn keeps it on top until a renewal is filled in or on record, failed waits for its repair, a measured value is evidence. Leave it there: without it the results are forgotten.",
		"What was done is read as workshop wording, as in “pump follower replaced”. Leave the last column as it is; rows may be sorted, filtered and deleted. A wrong entry is rejected with its cell, and nothing of its row is used until it is corrected.",
	}}
}

func orMoney(currency string) string {
	if currency == "" {
		return "the job's currency"
	}
	return currency
}

// oddsInWords prints the table that the words are taken from.
func oddsInWords() Chapter {
	c := Chapter{"Odds in words", []string{
		"The words are those of the guidance note on uncertainty of the Intergovernmental Panel on Climate Change (Mastrandrea and others, 2010; quoted from memory), its overlapping bands read without overlap, the narrowest that holds:",
	}}
	for _, band := range oddsTable {
		if band.From == 0 {
			c.Paragraphs = append(c.Paragraphs, "below that: "+band.Word)
			break
		}
		c.Paragraphs = append(c.Paragraphs, fmt.Sprintf("from %.0f%%: %s", band.From*100, band.Word))
	}
	return c
}

func theMethod() Chapter {
	return Chapter{"How the numbers come about", []string{
		"A weak part is sound, then worn, then failed. Two curves of the catalogue say at what distance wear begins and how much further a worn part runs (the delay-time model of Christer and Waller, 1984).",
		"Only affected vehicles wear this way: the catalogue's ranges decide which they are. Where what decides is missing, the catalogue's share is used and the sentence says so.",
		"Every observation then moves the odds by how much more often it is seen on worn parts than on others: codes, codes that came back after a sensor was renewed, the driver's and the workshop's words, measured values, clean inspections. Two codes of one fault count once.",
		"A clean scan shortly after codes were erased proves next to nothing and is counted so. An observation knows only what was so on its day.",
		"The hours go where the expected cost of waiting is greatest, within each depot's hours, set-up counted once a visit. A part that can injure is never traded for money.",
		"The interval beside a chance holds in 8 of 10 cases if the catalogue's curves and rates carry the weight they claim. “Stays above” is the share of such draws in which the vehicle keeps its place above the line.",
	}}
}

func theLimits() Chapter {
	return Chapter{"What this list cannot know", []string{
		"It knows the parts in the catalogue and nothing else. A vehicle that is not on it is not thereby sound.",
		"It is no better than its curves. The sheet on parts names the source of each, when it was last reviewed and how many failures stand behind it.",
		"It knows what was written down. Repairs made elsewhere, codes never read and readings never taken are not in it; where records begin late, a part may have been put right already.",
		"Distances are carried from the last credible reading to the day of the run. A falling odometer is named with its likeliest cause; that is a suspicion, and no proof against anyone.",
		"No scan is not a clean scan, and a workshop that found no metal in a filter has not cleared the part.",
		"Rows that could not be read stand on their own sheet with what to mend; every row read is counted.",
	}}
}

func care() Chapter {
	return Chapter{"Take care", append([]string{
		"Opening a part belongs to people who are trained and licensed for it.",
	}, append(append([]string{}, generalCautions...), injuryCaution)...)}
}

// thisRun states what the run rested on, for whoever keeps the paper.
func thisRun(d *Document) Chapter {
	r := &d.Run
	c := Chapter{Heading: "This run"}
	add := func(name, value string) {
		if value != "" {
			c.Paragraphs = append(c.Paragraphs, name+": "+value)
		}
	}
	add("Job", r.Job)
	add("Day", date(r.Day))
	add("Program", strings.TrimSpace("pitlist "+r.Version))
	for _, s := range r.Settings {
		add(s.Name, s.Value)
	}
	add("Catalogue", strings.Join(r.CatalogueFiles, ", "))
	add("Catalogue digest (SHA-256)", r.CatalogueDigest)
	for _, in := range r.Inputs {
		add("Input", fmt.Sprintf("%s (SHA-256 %s)", in.Path, in.SHA256))
	}
	for _, w := range r.Warnings {
		add("Take note", w.String())
	}
	return c
}

package report

import (
	"math"
	"strings"

	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// Chapter is a heading with its paragraphs.
type Chapter struct {
	Heading    say.Text
	Paragraphs []say.Text
}

// guide is the sheet on how to read the list and what it cannot know.
func guide(d *Document) []Chapter {
	return []Chapter{readingTheList(d), sendingBack(), oddsInWords(), theMethod(d), theLimits(), care(), thisRun(d)}
}

// readingTheList explains the first sheet of the run's desk.
func readingTheList(d *Document) Chapter {
	c := Chapter{Heading: say.F("What this list is")}
	switch plan.Desk(d.Run.Desk) {
	case plan.TradeIn:
		c.Paragraphs = append(readingOffers(d), readingBills(d)...)
	case plan.Auction:
		c.Paragraphs = append(readingLots(d), readingBills(d)...)
	default:
		c.Paragraphs = readingFleet(d)
	}
	return c
}

func readingFleet(d *Document) []say.Text {
	return []say.Text{
		say.F("A list is a reason to look, not a diagnosis. It says which vehicles to open first in the hours that there are, and why."),
		say.F("It stands in this order: parts found worn already (a repair, not a look); parts whose failure can injure and whose risk is over its limit (taken in whatever the hours); then where waiting costs most for an hour in the bay; then the line; then the rest."),
		say.F("“%s” says today at the head, yes above the line and wait below it. What is not weighed against the rest stands at the head without a probability, since nothing in the catalogue gives it one.", say.F("Take in?")),
		say.F("“%s” is the chance that the part named is worn now, which a look can find. It is not the chance that it fails tomorrow; that stands further right.", say.F("How likely worn")),
		say.F("“%s” is what putting the look off until the next run is expected to cost. Hours are rounded up to quarters; “%s” runs down the list within a depot.", say.F("Waiting costs, %s", orMoney(d)), say.F("Hours so far")),
	}
}

// readingOffers explains the first sheet of the trade-in desk.
func readingOffers(d *Document) []say.Text {
	return []say.Text{
		say.F("A list is a reason to look, not a diagnosis. It says what the known weak parts of each vehicle are expected to take off its price, whether to take it, and what to look at while it stands here."),
		say.F("The vehicles to put through the workshop before they are sold on (“%s”) stand first, the greatest worth for an hour in the bay before the others; then those from which most comes off.", say.F("Before sale to the workshop")),
		verdictRule(d),
	}
}

// readingLots explains the first sheet of the auction desk.
func readingLots(d *Document) []say.Text {
	b := &d.list.Buying
	return []say.Text{
		say.F("A list is a reason to look, not a diagnosis. It says which lots to walk to in the minutes that there are, and where to stop bidding."),
		say.F("Lots stand in the order of the yard. Those marked ► are walked to: together their looks are expected to move the most money in %s minutes, the way between lots not counted. A lot that no look can move is not walked to.", say.Number(b.ViewingMinutes)),
		verdictRule(d),
		say.F("“%s” is the guide price, less what is expected to come off or the amount that the bill stays within in %s of cases, whichever is more, less the margin of %s. Without a guide price no limit is named.", say.F("Stop bidding at, %s", orMoney(d)), say.Percent(b.Cover), d.money(b.Margin)),
		say.F("A lot that is walked to has a limit for each result of its looks, on the sheet %s: after a look that one holds, and no longer this one. Where several speak for wear, stay below the lowest.", slip.SheetViewing.Name),
		say.F("Kits to hold (kits.csv) are reckoned as if every lot were bought. For the lots that are, count the vehicles and not the list."),
	}
}

// verdictRule says by which numbers of the job a verdict falls.
func verdictRule(d *Document) say.Text {
	b := &d.list.Buying
	return say.F("What to do: leave it, where what comes off reaches %s of the price; else look first, where a cheap check is expected to move that amount by %s or more, or where a reading is missing that a part cannot be judged without; else take it for less, where %s or more comes off; else take it.",
		say.Percent(b.LeaveShare), d.money(b.LookFrom), d.money(b.TakeLessFrom))
}

// readingBills explains the money of both buying desks.
func readingBills(d *Document) []say.Text {
	off := say.F("Comes off, %s", orMoney(d))
	return []say.Text{
		say.F("“%s” is what the parts are expected to cost over the kilometres held (“%s”): of each part the cheaper of leaving it unopened and opening it after buying.", off, say.F("Over km")),
		say.F("“%s” is the amount that the repairs of all parts of the vehicle together stay within in 9 of 10 cases; once in ten times they come to more.", say.F("Bill in 9 of 10 cases up to, %s", orMoney(d))),
		say.F("A look moves money by what its results are expected to change in “%s”, up or down; the look named first moves the most for a minute.", off),
		say.F("“%s” names what nobody gave, such as an engine serial, and what would come off in all for either answer.", say.F("Not known, and what it means in money")),
	}
}

func sendingBack() Chapter {
	return Chapter{say.F("Sending results back"), []say.Text{
		say.F("Fill in the framed cells of the sheet %s, or of the cards, for what was looked at or repaired; leave the rest empty. A part's row has the same number on both. What both say alike counts once; where they contradict each other, neither is used until one is corrected.", slip.SheetResults.Name),
		say.F("Save the workbook and put it into the intake folder, under any name. The next run reads its results and cards and nothing else of it: sound lowers the vehicle, worn keeps it on top until a renewal is filled in or on record, failed waits for its repair, a measured value is evidence. Leave it there: without it the results are forgotten."),
		say.F("What was done is read as workshop wording, as in “pump follower replaced”. Leave the last column as it is; rows may be sorted, filtered and deleted. A wrong entry is rejected with its cell, and nothing of its row is used until it is corrected."),
	}}
}

// orMoney is the unit of a column of money.
func orMoney(d *Document) say.Text {
	return say.Or(say.Plain(d.Run.Currency), say.F("in money"))
}

// oddsInWords prints the table that the words are taken from.
func oddsInWords() Chapter {
	c := Chapter{say.F("Odds in words"), []say.Text{
		say.F("The words are those of the guidance note on uncertainty of the Intergovernmental Panel on Climate Change (Mastrandrea and others, 2010; quoted from memory), its overlapping bands read without overlap, the narrowest that holds:"),
	}}
	for _, band := range oddsTable {
		if band.From == 0 {
			c.Paragraphs = append(c.Paragraphs, say.F("below that: %s", band.Word))
			break
		}
		c.Paragraphs = append(c.Paragraphs, say.F("from %d%%: %s", int(math.Round(band.From*100)), band.Word))
	}
	return c
}

func theMethod(d *Document) Chapter {
	c := Chapter{say.F("How the numbers come about"), []say.Text{
		say.F("A weak part is sound, then worn, then failed. Two curves of the catalogue say at what distance wear begins and how much further a worn part runs (the delay-time model of Christer and Waller, 1984)."),
		say.F("Only affected vehicles wear this way: the catalogue's ranges decide which they are. Where what decides is missing, the catalogue's share is used and the sentence says so."),
		say.F("Every observation then moves the odds by how much more often it is seen on worn parts than on others: codes, codes that came back after a sensor was renewed, the driver's and the workshop's words, measured values, clean inspections. Two codes of one fault count once."),
		say.F("A clean scan shortly after codes were erased proves next to nothing and is counted so. An observation knows only what was so on its day."),
	}}
	weight := say.F("The interval beside a chance holds in 8 of 10 cases if the catalogue's curves and rates carry the weight they claim.")
	switch plan.Desk(d.Run.Desk) {
	case plan.Auction:
	case plan.TradeIn:
		c.Paragraphs = append(c.Paragraphs, say.F("The workshop's hours before the sale go where opening a part is worth most, within each depot's hours, set-up counted once a visit. A part that can injure is never traded for money."))
	default:
		c.Paragraphs = append(c.Paragraphs, say.F("The hours go where the expected cost of waiting is greatest, within each depot's hours, set-up counted once a visit. A part that can injure is never traded for money."))
		weight = say.Join(" ", weight, say.F("“%s” is the share of such draws in which the vehicle keeps its place above the line.", say.F("Stays above the line")))
	}
	c.Paragraphs = append(c.Paragraphs, weight)
	return c
}

func theLimits() Chapter {
	return Chapter{say.F("What this list cannot know"), []say.Text{
		say.F("It knows the parts in the catalogue and nothing else. A vehicle that is not on it is not thereby sound."),
		say.F("It is no better than its curves. The sheet on parts names the source of each, when it was last reviewed and how many failures stand behind it."),
		say.F("It knows what was written down. Repairs made elsewhere, codes never read and readings never taken are not in it; where records begin late, a part may have been put right already."),
		say.F("Distances are carried from the last credible reading to the day of the run. A falling odometer is named with its likeliest cause; that is a suspicion, and no proof against anyone."),
		say.F("No scan is not a clean scan, and a workshop that found no metal in a filter has not cleared the part."),
		say.F("Rows that could not be read stand on their own sheet with what to mend; every row read is counted."),
	}}
}

func care() Chapter {
	c := Chapter{say.F("Take care"), []say.Text{say.F("Opening a part belongs to people who are trained and licensed for it.")}}
	c.Paragraphs = append(c.Paragraphs, generalCautions...)
	c.Paragraphs = append(c.Paragraphs, injuryCaution)
	return c
}

// thisRun states what the run rested on, for whoever keeps the paper.
func thisRun(d *Document) Chapter {
	r := &d.Run
	c := Chapter{Heading: say.F("This run")}
	add := func(name, value say.Text) {
		if !value.Empty() {
			c.Paragraphs = append(c.Paragraphs, say.F("%s: %s", name, value))
		}
	}
	add(say.F("Job"), say.Plain(r.Job))
	add(say.F("Day"), say.Of(say.Day(r.Day)))
	add(say.F("Program"), say.Plain(strings.TrimSpace("pitlist "+r.Version)))
	for _, s := range r.Settings {
		add(s.Name, s.Value)
	}
	add(say.F("Catalogue"), say.Plain(strings.Join(r.CatalogueFiles, ", ")))
	add(say.F("Catalogue digest (SHA-256)"), say.Plain(r.CatalogueDigest))
	for _, in := range r.Inputs {
		add(say.F("Input"), say.F("%s (SHA-256 %s)", in.Path, in.SHA256))
	}
	for _, w := range r.Warnings {
		add(say.F("Take note"), w)
	}
	return c
}

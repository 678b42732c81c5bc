package expression

import "strings"

// countName is what counts sites: count(bridge, span > 20 mm), or count(bridge) for all.
const countName = "count"

// Counted is a measure whose sites are counted.
type Counted struct {
	// Site is what the condition may speak of.
	Site Names
	// Unknown ends the complaint that no measure has that name; "" where one has.
	Unknown string
	// Add takes the count with its words and its condition over a site's values, and says what
	// value of the whole model it stands for.
	Add func(words string, condition Program) Meaning
}

// count reads the measure and the condition of a count.
func (x *parser) count(name token) value {
	if x.places {
		fail(name.at, "a count cannot stand in the condition of another; count each by itself and join them with and")
	}
	if x.Count == nil {
		fail(name.at, "count stands in find, say and do of a rule with per: model, and nowhere else")
	}
	x.expect("(")
	of := x.next()
	if of.text == "" || !isLetter(of.text[0]) {
		fail(of.at, "count needs a measure, as in count(bridge, span > 20 mm)")
	}
	counted := x.Count(of.text)
	if counted.Unknown != "" {
		fail(of.at, "no measure is called %q%s", of.text, counted.Unknown)
	}
	if x.sees("") { // YAML took the comma for the end of the text
		fail(x.tokens[0].at, "count is cut off here; where find stands within { }, put all of it in quotes")
	}
	condition := value{run: Constant(1), dim: Truth}
	if x.sees(",") {
		x.next()
		outer := x.Names
		x.Names, x.places = counted.Site, true
		condition = x.expression(0)
		x.Names, x.places = outer, false
		if !condition.dim.Is(Truth) {
			fail(condition.at, "count needs a condition that is true or false, this is %s; compare it with something", condition.dim)
		}
	}
	end := x.tokens[0].at + 1
	x.expect(")")
	p, d := counted.Add(Spaced(x.text[name.at:end]), condition.run).program()
	return value{run: p, dim: d, at: name.at}
}

// Spaced is an expression with one space where it has several, or a new line.
func Spaced(text string) string { return strings.Join(strings.Fields(text), " ") }

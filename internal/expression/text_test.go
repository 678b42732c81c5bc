package expression

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// textual speaks of siteValues, and of texts: name and kind, and what stands beside. What
// it takes up becomes a constant, worked out for the given texts.
func textual(texts map[string][]string, taken *[]string) Names {
	n := site
	n.Text = func(name string) Taker {
		list, ok := texts[name]
		if !ok {
			return nil
		}
		return func(words string, test func(string) bool) Meaning {
			*taken = append(*taken, words)
			answer := 0.0
			for _, s := range list {
				if test(s) {
					answer = 1
				}
			}
			return Meaning{Value: -1, Number: answer, Unit: catalog.Bool}
		}
	}
	n.Glob = func(glob string) (func(string) bool, string) {
		if strings.Contains(glob, "/") {
			return nil, "no folders"
		}
		return func(s string) bool { return s == glob }, ""
	}
	return n
}

// TestConditionsOverText holds what each of them answers.
func TestConditionsOverText(t *testing.T) {
	texts := map[string][]string{"file.name": {"big clip.stl"}, "file.format": {"stl"}, BesideText: {"README.md", "photo.png"}}
	for text, want := range map[string]bool{
		`file.format == "stl"`:                            true,
		`file.format == 'obj'`:                            false,
		`file.format != "obj"`:                            true,
		`file.format in ["3mf", "stl"]`:                   true,
		`file.format in ['3mf']`:                          false,
		`not file.format in ["3mf", "stl"]`:               false,
		`file.name matches "^[a-z0-9.-]+$"`:               false,
		`not file.name matches "^[a-z0-9.-]+$"`:           true,
		`file.name matches " clip"`:                       true,
		`file.name matches "(?i)CLIP\.STL$" and n > 3`:    true,
		`beside("README.md")`:                             true,
		`beside("LICENSE", "photo.png")`:                  true,
		`not beside("LICENSE") or file.format == "ply"`:   true,
		`(file.format == "stl") == beside("x")`:           false,
		`file.name == "big  clip.stl"`:                    false,
		`file.name matches "clip" and a > 1 mm or n < -3`: true,
	} {
		var taken []string
		p, d, bad := Compile(text, textual(texts, &taken))
		require.Nil(t, bad, "%s: %v", text, bad)
		assert.True(t, d.Is(Truth), text)
		assert.Equal(t, want, p([]float64{9, 0, 0, 0, 0, 7, 0, 0}) != 0, text)
		assert.NotEmpty(t, taken, text)
	}
}

// TestTextIsTakenByItsWords holds that two conditions of different text are told apart, and
// that blanks outside of the quotes make no difference.
func TestTextIsTakenByItsWords(t *testing.T) {
	var taken []string
	_, _, bad := Compile("file.name=='a  b' or file.name  ==\n'a b' or file.name in [ 'a','b' ] or beside('x',  'y')",
		textual(map[string][]string{"file.name": {""}, BesideText: nil}, &taken))
	require.Nil(t, bad)
	assert.Equal(t, []string{"file.name == 'a  b'", "file.name == 'a b'", "file.name in ['a', 'b']", "beside('x', 'y')"}, taken)
}

// TestWhatIsNoConditionOverText holds the place and the words.
func TestWhatIsNoConditionOverText(t *testing.T) {
	for text, want := range map[string]Fault{
		`file.name > 3`:                    {10, `file.name is text: write matches, ==, != or in behind it, as in file.name == "..."`},
		`file.name`:                        {8, `file.name is text: write matches, ==, != or in behind it, as in file.name == "..."`},
		`file.name == 3 mm`:                {13, `file.name is text, and so is what it is compared with: write "3 mm"`},
		`file.name == stl`:                 {13, `file.name is text, and so is what it is compared with: write "stl"`},
		`file.name == `:                    {12, `the expression ends too early`},
		`file.name == "stl`:                {13, `this quote is not closed`},
		`file.name in "stl"`:               {13, `in needs a list: write ["stl"]`},
		`file.name in []`:                  {13, `in needs a list with a text in it, as in ["stl", "3mf"]`},
		`file.name in ["stl" "3mf"]`:       {20, `did not expect "\"3mf\"" here`},
		`file.name in ["stl", 3]`:          {21, `file.name is text, and so is what it is compared with: write "3"`},
		`"stl" == file.format`:             {0, `this is text, and text stands behind a name that is text, as in file.format == "stl"; numbers and names have no quotes`},
		`a > "3 mm"`:                       {4, `a number stands without quotes: write 3 mm`},
		`a matches "x"`:                    {0, `matches is for text such as file.name, this is mm`},
		`n in ["x"]`:                       {0, `in is for text such as file.name, this is a bare number`},
		`n in [1, 2]`:                      {0, `in is for text such as file.name, this is a bare number`},
		`file.name matches "^[a-z"`:        {20, `"[a-z" is no pattern: missing closing ]`},
		`file.name matches "a**"`:          {20, `"**" is no pattern: invalid nested repetition operator`},
		`file.name matches "(?=x)"`:        {19, `"(?=" is no pattern: invalid or unsupported Perl syntax`},
		`file.name matches "(a{999}){99}"`: {27, `"{99}" is no pattern: invalid repeat count`},
		`beside()`:                         {7, `beside needs a name in quotes, as in beside("README*")`},
		`beside(README)`:                   {7, `beside needs a name in quotes, as in beside("README*")`},
		`beside("a/b")`:                    {7, `no folders`},
		`beside`:                           {0, `beside needs a name in quotes, as in beside("README*")`},
		"file.name == `x`":                 {13, "text stands in \" or ', not in `"},
	} {
		var taken []string
		_, _, bad := Compile(text, textual(map[string][]string{"file.name": nil, "file.format": nil, BesideText: nil}, &taken))
		if assert.NotNil(t, bad, text) {
			assert.Equal(t, want, *bad, text)
		}
	}
	_, _, bad := Compile(`a == "x"`, site)
	require.NotNil(t, bad)
	assert.Equal(t, Fault{5, "an expression holds no text in quotes here; text is for rules with per: model, as in file.format == \"stl\""}, *bad)
	_, _, bad = Compile(`beside("x")`, site)
	require.NotNil(t, bad)
	assert.Equal(t, Fault{0, "beside stands in find of a rule with per: model or per: folder, and nowhere else"}, *bad)
}

package xmltoken_test

import (
	"fmt"
	"strings"

	"printlint/internal/xmltoken"
)

func Example() {
	x := xmltoken.New(strings.NewReader("<list unit='inch'>\n  <p x='1' y='2'/>\n  <p x='3' y='4'><more/></p>\n</list>"))
	x.Begin()
	fmt.Printf("%s in %s\n", x.Local, x.Attr("unit"))
	x.Each(func() {
		fmt.Printf("line %d: %s %s\n", x.TagLine(), x.Attr("x"), x.Attr("y"))
	})
	x.Finish()
	fmt.Println(x.Err())
	// Output:
	// list in inch
	// line 2: 1 2
	// line 3: 3 4
	// <nil>
}

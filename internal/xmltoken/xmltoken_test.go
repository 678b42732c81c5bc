package xmltoken

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// walkXML goes through a file and writes what it meets: elements with their line, their
// namespace where there is one, and their attributes.
func walkXML(in io.Reader) (string, error) {
	x := New(in)
	if !x.Begin() {
		return "", x.Err()
	}
	var b strings.Builder
	var down func()
	down = func() {
		fmt.Fprintf(&b, "%d:", x.TagLine())
		if s := x.Space(x.Prefix); s != "" {
			fmt.Fprintf(&b, "{%s}", s)
		}
		fmt.Fprintf(&b, "%s", x.Local)
		for _, a := range x.Attrs {
			fmt.Fprintf(&b, " %s=%s", a.Name, a.Value)
		}
		b.WriteString("(")
		switch string(x.Local) {
		case "text":
			fmt.Fprintf(&b, "%s", x.Text())
		case "skip":
			b.WriteString("...")
			x.Skip()
		default:
			x.Each(down)
		}
		b.WriteString(")")
	}
	down()
	x.Finish()
	return b.String(), x.Err()
}

func TestXML(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"<a/>", "1:a()"},
		{"<a></a>", "1:a()"},
		{bom + "<?xml version='1.0' encoding='UTF-8' standalone=\"yes\"?>\r\n<a/>\n", "2:a()"},
		{"<?xml version=\"1.0\"?><a/>", "1:a()"},
		{"<!-- c --><?p i?>\n<a >\n<!-- <b> -- ->--><b\n x = '1'\ty=\"2\" /></a\n>\n<!-- d -->", "2:a(3:b x=1 y=2())"},
		{"<a><b/>text<c>more</c><b></b></a>", "1:a(1:b()1:c()1:b())"},
		{"<a>\r<b/>\r\n<b/>\n\r<b/>\r\r\n<b/></a>", "1:a(2:b()3:b()5:b()7:b())"},
		{"<a><skip><b><c/></b><b/>&nonsense</skip><d/></a>", "1:a(1:skip(...)1:d())"},
		{"<a><text> one &lt;&#65;&#x42;&amp;\n</text></a>", "1:a(1:text(one <AB&))"},
		{"<a><text>1<!-- 2 -->3<![CDATA[<4>&amp;]]></text></a>", "1:a(1:text(13<4>&amp;))"},
		{"<a><![CDATA[</a><b>]]></a>", "1:a()"},
		{"<a n='&quot;&apos;&gt;'/>", "1:a n=\"'>()"},
		{"<a xmlns='u'><b xmlns='v'><c/></b><c/></a>", "1:{u}a xmlns=u(1:{v}b xmlns=v(1:{v}c())1:{u}c())"},
		{"<p:a xmlns:p='u'><p:b xmlns:p='w'/><p:c/><d/></p:a>", "1:{u}a xmlns:p=u(1:{w}b xmlns:p=w()1:{u}c()1:d())"},
		{"<a xmlns='u'><b xmlns=''/></a>", "1:{u}a xmlns=u(1:b xmlns=())"},
		{"<ä ö='ü'/>", "1:ä ö=ü()"},
	} {
		got, err := walkXML(strings.NewReader(c.text))
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
		got, err = walkXML(iotest.OneByteReader(strings.NewReader(c.text)))
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, "byte by byte: %s", c.text)
	}
}

func TestXMLThatIsNone(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "line 1: there is no XML element in it"},
		{"\n \n", "line 3: there is no XML element in it"},
		{"hello", `line 1: text outside the XML elements, "hello"`},
		{"<a/>\nhello", `line 2: text outside the XML elements, "hello"`},
		{"<a/><b/>", "line 1: a second element behind the end of the first"},
		{"<a>\n<b>\n</a>", "line 3: <b> is ended by </a>"},
		{"</a>", "line 1: </a> ends nothing"},
		{"<a>\n", "line 2: the file ends inside <a>"},
		{"<a><b", "line 1: the file ends inside <a>"},
		{"<a b='1'", "line 1: the file ends inside a tag"},
		{"<a><!-- ", "line 1: the file ends inside <a>"},
		{"<a><!", "line 1: the file ends inside <a>"},
		{"<!DOCTYPE a [<!ENTITY b 'c'>]><a/>", "line 1: a document type declaration, which a model must not have"},
		{"<!ELEMENT a>", `line 1: "<!ELEMENT" is no XML`},
		{"<![CDATA[x]]><a/>", `line 1: "<![CDATA[" is no XML`},
		{"< a/>", `line 1: "< " where the name of an XML element was expected`},
		{"<1/>", `line 1: "<1/" where the name of an XML element was expected`},
		{"<p:/>", `line 1: "<p:/" where the name of an XML element was expected`},
		{"<:p/>", `line 1: "<:p/" where the name of an XML element was expected`},
		{"<a b/>", `line 1: "b/" inside a tag where name="value" was expected`},
		{"<a b c='1'/>", `line 1: "b c" inside a tag where name="value" was expected`},
		{"<a ='1'/>", `line 1: "='" inside a tag where name="value" was expected`},
		{"<a b=1/>", `line 1: the value of "b" is not in quotes`},
		{"<a b='1'c='2'/>", `line 1: "c" inside a tag where a blank was expected`},
		{"<a b='1' b='2'/>", `line 1: "b" stands twice in a tag`},
		{"<a b='<'/>", `line 1: the value of "b" is not ended`},
		{"<a b='&c;'/>", `line 1: "&c" is no character that XML knows`},
		{"<a b='&#0;'/>", `line 1: "&#0" is no character that XML knows`},
		{"<a b='&#x110000000000;'/>", `line 1: "&#x110000000000" is no character that XML knows`},
		{"<a b='&#x1b;'/>", `line 1: "&#x1b" is no character that XML knows`},
		{"<a b='&#xd800;'/>", `line 1: "&#xd800" is no character that XML knows`},
		{"<a b='&lt'/>", `line 1: "&lt" is no character that XML knows`},
		{"<a / >", `line 1: a / that ends no tag in <a>`},
		{"<a><?xml version='1.0'?></a>", "line 1: the XML declaration stands inside the file; it must come first"},
		{"<?xml version='1.0' encoding='ISO-8859-1'?><a/>", `line 1: the text is in the encoding "iso-8859-1"`},
		{"<?xml nonsense?><a/>", "line 1: \"nonsense>\" inside a tag where name=\"value\" was expected"},
		{"\xff\xfe<\x00", "line 1: the text is in UTF-16 or UTF-32"},
		{"\x00<\x00a", "line 1: the text is in UTF-16 or UTF-32"},
		{"<a><text><b/></text></a>", "line 1: <b> where only text may stand"},
		{"<text>" + strings.Repeat("x", 5000) + "</text>", "line 1: a text of more than 4096 characters"},
		{strings.Repeat("<a>", 300), "line 1: XML elements inside one another, 256 deep"},
		{"<a " + strings.Repeat("x", 2<<20), "line 1: a tag of more than 1048576 bytes"},
		{"<a" + manyAttrs(300) + "/>", "line 1: a tag with more than 256 attributes"},
	} {
		_, err := walkXML(strings.NewReader(c.text))
		require.Error(t, err, c.text[:min(len(c.text), 40)])
		assert.Contains(t, err.Error(), c.want, c.text[:min(len(c.text), 40)])
	}
}

func manyAttrs(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, " a%d=''", i)
	}
	return b.String()
}

// TestXMLAcrossTheBuffer puts the end of the buffer into every place of a tag.
func TestXMLAcrossTheBuffer(t *testing.T) {
	tag := "<b x='&amp;1' y=\"2\"><!-- c --><![CDATA[d]]>\r\n</b>\r\n"
	for shift := range 80 {
		text := "<a>" + strings.Repeat(" ", bufferSize-80+shift) + strings.Repeat(tag, 3) + "</a>"
		got, err := walkXML(strings.NewReader(text))
		require.NoError(t, err, shift)
		require.Equal(t, "1:a(1:b x=&1 y=2()3:b x=&1 y=2()5:b x=&1 y=2())", got, shift)
	}
}

// TestLongXML holds that memory does not follow the length of texts and comments.
func TestLongXML(t *testing.T) {
	long := strings.Repeat("x\n", 1<<19)
	x := New(strings.NewReader("<a><!--" + long + "-->" + long + "<b/>" + "<?" + long + "?><![CDATA[" + long + "]]><b/></a>"))
	require.True(t, x.Begin())
	for _, line := range []int{1 << 20, 1<<20 + 1<<20} {
		require.True(t, x.Child())
		assert.Equal(t, line+1, x.TagLine())
		x.Skip()
		require.NoError(t, x.Err())
	}
	assert.LessOrEqual(t, cap(x.buf), 2*bufferSize)
}

func FuzzXML(f *testing.F) {
	for _, s := range []string{"<a/>", "<a b='c'><!-- --><?d?><![CDATA[e]]>&lt;<text>&#65;</text></a>", "<?xml version='1.0'?><p:a xmlns:p='q'/>"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := walkXML(bytes.NewReader(data))
		slow, errSlow := walkXML(iotest.OneByteReader(bytes.NewReader(data)))
		require.Equal(t, got, slow)
		require.Equal(t, err == nil, errSlow == nil)
		if err != nil {
			// How much of the text is quoted depends on how much has been read.
			place, _, _ := strings.Cut(err.Error(), ",")
			require.Contains(t, errSlow.Error(), strings.SplitAfter(place, ":")[0])
		}
	})
}

package meshfile

import (
	"bytes"
	"strings"
)

// strangers are beginnings of files that are often mistaken for a model.
var strangers = []struct{ magic, what, cure string }{
	{"\x1f\x8b", "a gzip archive", "unpack it first"},
	{"7z\xbc\xaf\x27\x1c", "a 7z archive", "unpack it first"},
	{"Rar!", "a rar archive", "unpack it first"},
	{"\x89PNG", "a PNG picture", "export the model as a triangle mesh"},
	{"\xff\xd8\xff", "a JPEG picture", "export the model as a triangle mesh"},
	{"%PDF", "a PDF document", "export the model as a triangle mesh"},
	{"ISO-10303-21", "a STEP file, which holds no triangles", "export the model as a triangle mesh"},
}

// refuse recognises files that are no model at all, whatever they are called.
func refuse(head []byte, size int64) error {
	if err := refusePointer(head, size); err != nil {
		return err
	}
	if likeUTF16(head) {
		return &Error{Problem: "this is text in UTF-16", Cure: "save it as plain text in UTF-8"}
	}
	start := strings.ToLower(string(bytes.TrimSpace(trimBOM(head))))
	for _, tag := range []string{"<!doctype html", "<html", "<head"} {
		if strings.HasPrefix(start, tag) {
			return &Error{
				Line:    1,
				Problem: "this is a web page, not a model",
				Cure:    "download the file itself, not the page that shows it",
			}
		}
	}
	for _, s := range strangers {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return &Error{Problem: "this is " + s.what, Cure: s.cure}
		}
	}
	return nil
}

// likeUTF16 goes by the mark that such text may begin with, or by zeros in every second
// byte of what else is plain text.
func likeUTF16(head []byte) bool {
	if bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) {
		return true
	}
	const enough = 16
	if len(head) < enough {
		return false
	}
	var halves [2][]byte
	for i, c := range head[:enough] {
		halves[i%2] = append(halves[i%2], c)
	}
	zero := bytes.Repeat([]byte{0}, enough/2)
	return bytes.Equal(halves[0], zero) && isText(halves[1]) || bytes.Equal(halves[1], zero) && isText(halves[0])
}

// trimBOM drops the UTF-8 byte order mark that some editors put before text.
func trimBOM(head []byte) []byte { return bytes.TrimPrefix(head, []byte(bom)) }

const bom = "\xef\xbb\xbf"

// isText tells whether the beginning of a file reads as text: no control characters
// but white space. Bytes above 127 are letters in some encoding.
func isText(head []byte) bool {
	for _, c := range head {
		if c < ' ' && !isSpace(c) || c == 0x7f {
			return false
		}
	}
	return true
}

// firstWord returns the first word of a text file in lower case.
func firstWord(head []byte) string {
	head = bytes.TrimLeft(trimBOM(head), " \t\r\n\v\f")
	end := bytes.IndexAny(head, " \t\r\n\v\f")
	if end < 0 {
		end = len(head)
	}
	return strings.ToLower(string(head[:end]))
}

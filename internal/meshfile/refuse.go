package meshfile

import (
	"bytes"
	"strings"
)

// lfsLines begin the pointer that git LFS leaves where content was not fetched
// (git-lfs specification, "The Pointer": the first line is the version, the second
// address is the one it had before its first release).
var lfsLines = []string{
	"version https://git-lfs.github.com/spec/",
	"version https://hawser.github.com/spec/",
}

// strangers are beginnings of files that are often mistaken for a model.
var strangers = []struct{ magic, what, cure string }{
	{"\x1f\x8b", "a gzip archive", "unpack it first"},
	{"7z\xbc\xaf\x27\x1c", "a 7z archive", "unpack it first"},
	{"Rar!", "a rar archive", "unpack it first"},
	{"\x89PNG", "a PNG picture", "export the model as a triangle mesh"},
	{"\xff\xd8\xff", "a JPEG picture", "export the model as a triangle mesh"},
	{"%PDF", "a PDF document", "export the model as a triangle mesh"},
	{"ISO-10303-21", "a STEP file, which holds no triangles", "export the model as a triangle mesh"},
	{"\xff\xfe", "text in UTF-16", "save it as plain text in UTF-8"},
	{"\xfe\xff", "text in UTF-16", "save it as plain text in UTF-8"},
}

// refuse recognises files that are no model at all, whatever they are called.
func refuse(head []byte) error {
	for _, l := range lfsLines {
		if bytes.HasPrefix(head, []byte(l)) {
			return &Error{
				Line:    1,
				Problem: "this is a git LFS pointer, the model itself was not fetched",
				Cure:    "run git lfs pull",
				LFS:     true,
			}
		}
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

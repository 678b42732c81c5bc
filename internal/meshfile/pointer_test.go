package meshfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

const (
	oidOfTest   = "4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393"
	wholePoint  = "version https://git-lfs.github.com/spec/v1\noid sha256:" + oidOfTest + "\nsize 12345\n"
	notWhole    = "line 1: this begins like a git LFS pointer and is not a whole one; check the file out again, or replace it by the model"
	wholeAndNot = "line 1: this is a git LFS pointer, the model itself was not fetched; run git lfs pull"
)

func TestPointerIsWhole(t *testing.T) {
	for _, c := range []struct {
		text string
		size int64
	}{
		{wholePoint, 12345},
		{strings.Replace(wholePoint, "git-lfs.", "hawser.", 1), 12345},
		{strings.Replace(wholePoint, "12345", "0", 1), 0},
		{strings.Replace(wholePoint, "12345", "9223372036854775807", 1), 9223372036854775807},
	} {
		oid, size, ok := Pointer([]byte(c.text))
		assert.True(t, ok, c.text)
		assert.Equal(t, oidOfTest, oid)
		assert.Equal(t, c.size, size)
		e := failure(t, "a.stl", c.text)
		assert.True(t, e.LFS)
		assert.Equal(t, wholeAndNot, e.Error())
	}
}

// TestPointerThatIsNotWhole holds that a configuration that skips pointers skips nothing
// else: each of these is an error.
func TestPointerThatIsNotWhole(t *testing.T) {
	for _, c := range []struct{ old, new string }{
		{"size 12345\n", ""},
		{"size 12345\n", "size 12345"},
		{"12345\n", "12345\n\n"},
		{"12345\n", "12345\nsolid a\nfacet normal 0 0 1\n"},
		{"12345\n", "12345\n" + strings.Repeat("x", 2000)},
		{"12345", "-1"}, {"12345", "+1"}, {"12345", "012"}, {"12345", "1e3"}, {"12345", "9223372036854775808"}, {"12345", ""},
		{"oid sha256:", "oid md5:"}, {"oid ", "oid  "}, {oidOfTest, oidOfTest[1:]}, {oidOfTest, oidOfTest + "0"},
		{oidOfTest, strings.ToUpper(oidOfTest)}, {oidOfTest, "g" + oidOfTest[1:]},
		{"/v1", "/v2"}, {"/v1", "/v1 "}, {"spec/v1", "spec/"}, {"spec/v1", "spec/x/v1"},
		{"oid", "ext-0-x sha256:" + oidOfTest + "\noid"},
		{"\n", "\r\n"},
		{wholePoint, "version https://git-lfs.github.com/spec/v1\nhello\n"},
		{wholePoint, wholePoint + wholePoint},
	} {
		text := strings.ReplaceAll(wholePoint, c.old, c.new)
		assert.NotEqual(t, wholePoint, text)
		_, _, ok := Pointer([]byte(text))
		assert.False(t, ok, "%q", text)
		for _, name := range []string{"a.stl", "a.obj", "a.3mf"} {
			e := failure(t, name, text)
			assert.False(t, e.LFS, "%q", text)
			assert.Equal(t, notWhole, e.Error())
		}
	}
	for _, text := range []string{"", "version 1\n", "solid a\n"} {
		_, _, ok := Pointer([]byte(text))
		assert.False(t, ok)
	}
}

// TestEveryCutOfAPointer ends one after every byte, and changes every byte.
func TestEveryCutOfAPointer(t *testing.T) {
	seen := 0
	for n := range wholePoint {
		_, _, ok := Pointer([]byte(wholePoint[:n]))
		assert.False(t, ok, n)
		for bit := range 8 {
			changed := []byte(wholePoint)
			changed[n] ^= 1 << bit
			if oid, size, ok := Pointer(changed); ok {
				seen++
				assert.True(t, oid != oidOfTest || size != 12345)
			}
		}
	}
	assert.Positive(t, seen, "another digit makes another pointer")
}

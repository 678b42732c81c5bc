package meshfile

import "math"

// What a file may ask for, and what is held of it at once. All are far beyond what
// programs write; where no source is named, the figure is judgement.
const (
	// headSize is how much of a file is looked at to tell its format.
	headSize = 1024
	// bufferSize stays in the processor's cache, so that a large file costs no fresh memory.
	bufferSize = 256 << 10
	// maxWord is the longest word in a text format; numbers and keywords are far shorter.
	maxWord = 4096
	// maxName is how many characters of a name are kept: each of ten thousand models of a
	// file could otherwise repeat a name of a megabyte.
	maxName = 200

	// maxCorners is the most corners a mesh may have: indices stay within 31 bits, and an
	// int holds the number on every machine. maxLines is the same of lines.
	maxCorners = math.MaxInt32
	maxLines   = math.MaxInt32

	// maxFace is how many corners may be tested to cut one face into triangles: half a
	// second of work, for that long nothing else is heard. A face of 8000 corners, drawn to
	// be slow, needs it. workPerByte lets a file have as many faces of a hundred corners as
	// it likes.
	maxFace     = 1 << 27
	workPerByte = 32

	// maxColumns is the most elements of a PLY, and properties of one: each name is held
	// against all others, and files have a dozen.
	maxColumns = 1000

	// maxItems is the most models in one file, maxObjects the most objects that they are put
	// together from, and maxPlaced the most times that these are named in one another: each
	// takes ten times the memory that it takes in the file.
	maxItems   = 10_000
	maxObjects = 100_000
	maxPlaced  = 1 << 18
	// maxInstances is the same of an AMF, whose instances are models of their own.
	maxInstances = 10 * maxItems

	// maxNested is how deep bodies may lie in one another.
	maxNested = 64
	// freeTriangles and maxUnfold bound what bodies that are used many times unfold to:
	// some, or so many times what the file holds. A file of a few hundred bytes could
	// otherwise ask for any number. freeSteps bounds in the same way how many bodies are
	// gone through, because bodies can hold one another without holding many triangles.
	freeTriangles = 4 << 20
	freeSteps     = 4 << 20
	maxUnfold     = 16
	// maxBuilt is how many times as much all models of a file may unfold to together.
	maxBuilt = 16
)

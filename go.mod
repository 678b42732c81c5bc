module printlint

go 1.25.0

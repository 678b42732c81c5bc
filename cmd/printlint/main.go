// Command printlint checks 3D-printable models against written rules.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"printlint/internal/cli"
)

func main() { os.Exit(run()) }

func run() int {
	// A reader that closes the pipe early is no failure: writing then returns an
	// error, which the command line ignores, where the signal would kill us.
	signal.Ignore(syscall.SIGPIPE)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // who asks a second time is not made to wait
	return cli.Run(ctx, os.Args[1:], cli.System())
}

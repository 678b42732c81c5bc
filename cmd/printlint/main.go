// Command printlint checks 3D-printable models against written rules.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"printlint/internal/cli"
	"printlint/internal/lint"
	"printlint/internal/work"
)

func main() { os.Exit(run()) }

// grace is how long a run may take to end by itself after a signal. With what ending a
// process takes it stays below a second.
const grace = 800 * time.Millisecond

func run() int {
	// A reader that closes the pipe early is no failure: writing then returns an
	// error, which the command line ignores, where the signal would kill us.
	signal.Ignore(syscall.SIGPIPE)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // who asks a second time is not made to wait
	done := make(chan int, 1)
	go func() { done <- cli.Run(ctx, os.Args[1:], cli.System()) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
	}
	select {
	case code := <-done:
		return code
	case <-time.After(grace):
		// Something is at work that does not ask whether it may go on.
		work.CleanUp()
		fmt.Fprintln(os.Stderr, "printlint: stopped before the end; nothing was judged")
		return lint.ExitTrouble
	}
}

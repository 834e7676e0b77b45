package cam

import (
	"context"
	"runtime"
	"sync"
)

// forEach does something with each sheet, and returns the first sheet's error of those
// that have one.
func forEach(ctx context.Context, works []*sheetWork, do func(*sheetWork) error) error {
	errs := make([]error, len(works))
	each(len(works), func(i int) {
		if errs[i] = ctx.Err(); errs[i] == nil {
			errs[i] = do(works[i])
		}
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// each calls f(0) to f(n-1) from as many goroutines as there are processors.
func each(n int, f func(int)) {
	next := make(chan int)
	var running sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		running.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	running.Wait()
}

package main

import (
	"path/filepath"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/kerf"
)

// couponOfJob makes the coupons that a job needs.
func (s *session) couponOfJob(c *cli.Context) error {
	for _, f := range []cli.Flag{foamFlag, foamThicknessFlag, toolFlag, sizesFlag, ladderFlag, currentsFlag, combFlag, combStepFlag, fitStripFlag, noSquaresFlag} {
		if name := f.Names()[0]; c.IsSet(name) {
			return usage("--job and --"+name+" do not go together", "leave --"+name+" out: the job says what is needed; or leave --job out, for a coupon of one foam")
		}
	}
	out := folderOf(c, outFlag)
	if out.dir == "" {
		return usage("coupon needs a folder to write into", "add --out DIR")
	}
	if err := out.mayWrite(); err != nil {
		return err
	}
	format, err := dxfFormat(c.String(dxfFlag.Name))
	if err != nil {
		return err
	}
	path := jobIn(c.String(couponJobFlag.Name))
	request, err := s.request(c, path)
	if err != nil {
		return s.refused(err)
	}
	spec := kerf.CouponSpec{Units: request.Unit, Taper: c.Bool(taperFlag.Name)}
	folder := c.String(profilesFlag.Name)
	if folder == "" && request.Job.Profiles != "" {
		folder = filepath.Join(filepath.Dir(path), request.Job.Profiles)
	}
	if spec.Profiles, err = besideTable(folder, out.dir); err != nil {
		return err
	}
	bar := s.newProgress("cutting virtual foam")
	job, result, err := s.jobCoupons(c, request, spec, cam.Options{DXF: format, Finished: c.Bool(finishedFlag.Name), Progress: bar.step})
	bar.end()
	if err != nil {
		return stopped(err)
	}
	if result.Coupon == nil { // refused, or all is known
		result.Plan = nil
		if err := s.show(c, request, result.Result); err != nil {
			return err
		}
		s.say("every kerf that the job needs is known: there is no coupon to cut")
		return nil
	}
	return s.deliverResult(c, out, result.Result, nil, func() error { return s.showCoupon(c, request, result, job) })
}

// jobCoupons are the coupons, and the job as it is checked, whose cautions are theirs too.
func (s *session) jobCoupons(c *cli.Context, r cam.Request, spec kerf.CouponSpec, o cam.Options) (job cam.Result, result cam.CouponResult, err error) {
	if job, err = checked(c, r); err != nil {
		return job, result, err
	}
	result, err = until(c.Context, func() (cam.CouponResult, error) { return cam.CouponOfJob(c.Context, r, spec, o) })
	return job, result, err
}

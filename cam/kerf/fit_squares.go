package kerf

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Ordinary least squares by a QR decomposition, which does not square the
// condition of the problem as the normal equations do. Standard errors,
// leverages and studentized deleted residuals as in N. R. Draper and H. Smith,
// Applied Regression Analysis, and R. D. Cook and S. Weisberg, Residuals and
// Influence in Regression (1982); both from memory. The NIST StRD data sets are
// what it is tested against.

// solution is a fitted linear model.
type solution struct {
	coefficients []float64
	covariance   *mat.SymDense // of the coefficients, over the variance of one observation
	residuals    []float64
	leverages    []float64
	dof          int
	deviation    float64 // residual standard deviation; NaN where dof is 0
}

var errSingular = errors.New("the unknowns cannot be told apart")

// leastSquares fits observations to rows of a model, one column an unknown.
func leastSquares(rows [][]float64, observed []float64) (solution, error) {
	n, p := len(rows), 0
	if n > 0 {
		p = len(rows[0])
	}
	if n < p || p == 0 {
		return solution{}, errSingular
	}
	model := mat.NewDense(n, p, nil)
	for i, row := range rows {
		model.SetRow(i, row)
	}
	var qr mat.QR
	qr.Factorize(model)
	if qr.Cond() > 1e12 {
		return solution{}, errSingular
	}
	var x mat.VecDense
	y := mat.NewVecDense(n, append([]float64(nil), observed...))
	if err := qr.SolveVecTo(&x, false, y); err != nil {
		return solution{}, errSingular
	}
	s := solution{coefficients: x.RawVector().Data, dof: n - p}
	var fitted mat.VecDense
	fitted.MulVec(model, &x)
	sum := 0.0
	for i := range n {
		r := observed[i] - fitted.AtVec(i)
		s.residuals = append(s.residuals, r)
		sum += r * r
	}
	s.deviation = math.Sqrt(sum / float64(s.dof))
	return s, s.spread(&qr, model)
}

// spread fills in the covariance, R^-1 R^-T, and the leverages, the squared
// lengths of the rows of Q = X R^-1.
func (s *solution) spread(qr *mat.QR, model *mat.Dense) error {
	n, p := model.Dims()
	var full mat.Dense
	qr.RTo(&full)
	r := mat.NewTriDense(p, mat.Upper, nil)
	for i := range p {
		for j := i; j < p; j++ {
			r.SetTri(i, j, full.At(i, j))
		}
	}
	var inverse mat.TriDense
	if err := inverse.InverseTri(r); err != nil {
		return errSingular
	}
	var covariance, q mat.Dense
	covariance.Mul(&inverse, inverse.T())
	s.covariance = mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			s.covariance.SetSym(i, j, covariance.At(i, j))
		}
	}
	q.Mul(model, &inverse)
	for i := range n {
		row := q.RawRowView(i)
		h := 0.0
		for _, v := range row {
			h += v * v
		}
		s.leverages = append(s.leverages, h)
	}
	return nil
}

// standardError is that of a sum of coefficients with weights, for observations
// of a standard deviation.
func (s *solution) standardError(deviation float64, weights ...float64) float64 {
	w := mat.NewVecDense(len(weights), weights)
	return deviation * math.Sqrt(math.Max(0, mat.Inner(w, s.covariance, w)))
}

// studentPoint is the two-sided 95 % point of Student's t: 1.96 for many
// degrees of freedom, +Inf for none.
func studentPoint(dof int) float64 { return studentQuantile(0.975, float64(dof)) }

// studentQuantile is +Inf for less than one degree of freedom.
func studentQuantile(p, dof float64) float64 {
	if dof < 1-1e-9 {
		return math.Inf(1)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile(p)
}

// deleted is each observation's studentized deleted residual: how many standard
// deviations it lies from what the others alone say of it. A single wrong
// reading cannot hide behind the deviation that it causes itself. Nothing where
// too few are left to say, or where all others agree to the last digit.
func (s *solution) deleted() []float64 {
	list := make([]float64, len(s.residuals))
	if s.dof < 2 {
		return list
	}
	sum := square(s.deviation) * float64(s.dof)
	for i, r := range s.residuals {
		free := 1 - s.leverages[i]
		rest := sum*free - r*r
		if free < 1e-9 || rest < 1e-12*sum {
			continue
		}
		list[i] = r * math.Sqrt(float64(s.dof-1)/rest)
	}
	return list
}

// outlierPoint is how far the largest of n studentized deleted residuals lies
// out once in twenty times when none is wrong: Student's t for the remaining
// degrees of freedom, at 5 % shared among n (Bonferroni).
func outlierPoint(n, dof int) float64 {
	return studentQuantile(1-0.05/(2*float64(n)), float64(dof-1))
}

package wear

import "math"

// Nodes and weights of the Gauss-Kronrod pair (7, 15) on [-1, 1]; Piessens et
// al., QUADPACK (1983), routine qk15. The even nodes are those of Gauss.
var (
	kronrodNode = [8]float64{
		0.991455371120812639206854697526329, 0.949107912342758524526189684047851,
		0.864864423359769072789712788640926, 0.741531185599394439863864773280788,
		0.586087235467691130294144691693013, 0.405845151377397166906606412076961,
		0.207784955007898467600689403773245, 0,
	}
	kronrodWeight = [8]float64{
		0.022935322010529224963732008058970, 0.063092092629978553290700663189204,
		0.104790010322250183839876322541518, 0.140653259715525918745189590510238,
		0.169004726639267902826583426598550, 0.190350578064785409913256402421014,
		0.204432940075298892414161999234649, 0.209482141084727828012999174891714,
	}
	gaussWeight = [8]float64{
		0, 0.129484966168869693270611432679082,
		0, 0.279705391489276667901467771423780,
		0, 0.381830050505118944950369775488975,
		0, 0.417959183673469387755102040816327,
	}
)

// axis maps a parameter τ in [0, 1] onto onsets u between two limits. One end
// may be singular (a density like u^(k-1), a delay like v^k): a power of τ
// flattens it. Beside u the distance v = end - u is carried, each computed
// from the end it is near, so that neither loses digits by subtraction.
type axis struct {
	end    float64 // the place T from which v is counted back
	base   float64 // u, or v if fromEnd, at τ = 0
	span   float64 // how far it goes, > 0
	power  float64 // whole, 1: straight
	toward bool    // true: τ grows toward smaller u (base is a value of v)
}

func (a axis) at(tau float64) (u, v, jacobian float64) {
	w, dw := tau, 1.0
	switch a.power {
	case 1:
	case 2:
		w, dw = tau*tau, 2*tau
	case 3:
		w, dw = tau*tau*tau, 3*tau*tau
	default:
		for n := a.power; n > 1; n-- {
			dw *= tau
		}
		w, dw = dw*tau, a.power*dw
	}
	w = a.base + a.span*w
	if a.toward {
		return a.end - w, w, a.span * dw
	}
	return w, a.end - w, a.span * dw
}

// tau is the parameter at onset u, which lies between the limits.
func (a axis) tau(u float64) float64 {
	w := u
	if a.toward {
		w = a.end - u
	}
	return math.Pow((w-a.base)/a.span, 1/a.power)
}

// maxParts bounds the components of one integrand.
const maxParts = 13

type parts [maxParts]float64

// panel is a stretch [lo, hi] of an axis.
type panel struct {
	axis   axis
	lo, hi float64
	depth  int
}

// integrand writes its n components at onset u, with v = T - u.
type integrand func(u, v float64, out *parts)

// kronrod integrates over one panel; gap is the difference between the two
// rules, which bounds the error from far above on a smooth stretch.
func (p panel) kronrod(f integrand, n int) (sum, gap parts) {
	var y, gauss parts
	mid, half := (p.lo+p.hi)/2, (p.hi-p.lo)/2
	add := func(tau, wk, wg float64) {
		u, v, jac := p.axis.at(tau)
		f(u, v, &y)
		for i := 0; i < n; i++ {
			z := y[i] * jac
			sum[i] += wk * z
			gauss[i] += wg * z
		}
	}
	for j := 0; j < 7; j++ {
		step := half * kronrodNode[j]
		add(mid-step, kronrodWeight[j], gaussWeight[j])
		add(mid+step, kronrodWeight[j], gaussWeight[j])
	}
	add(mid, kronrodWeight[7], gaussWeight[7])
	for i := 0; i < n; i++ {
		sum[i] *= half
		gap[i] = math.Abs(sum[i] - half*gauss[i])
	}
	return sum, gap
}

// gapAllowed is the difference of the two rules, as a share of the whole, at
// which a panel is taken. Kronrod's error is then about its 3/2 power on a
// smooth panel (QUADPACK's own estimate): near 1e-12.
const gapAllowed = 5e-8

// maxDepth ends the halving where an end stays singular: what is left there is
// a 2^-maxDepth part of a stretch already flattened by its power.
const maxDepth = 30

// integrate sums n components over the panels, halving each until its two
// rules agree to gapAllowed of the whole, in every component.
func integrate(panels []panel, f integrand, n int) (total parts) {
	type piece struct {
		panel
		sum, gap parts
	}
	stack := make([]piece, 0, len(panels)+4)
	var whole parts // running estimate, against which a gap is small
	for _, p := range panels {
		sum, gap := p.kronrod(f, n)
		stack = append(stack, piece{p, sum, gap})
		for i := 0; i < n; i++ {
			whole[i] += sum[i]
		}
	}
	good := func(q *piece) bool {
		for i := 0; i < n; i++ {
			if q.gap[i] > gapAllowed*math.Abs(whole[i]) {
				return false
			}
		}
		return true
	}
	for len(stack) > 0 {
		q := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if q.depth >= maxDepth || good(&q) {
			for i := 0; i < n; i++ {
				total[i] += q.sum[i]
			}
			continue
		}
		mid := (q.lo + q.hi) / 2
		for i := 0; i < n; i++ {
			whole[i] -= q.sum[i]
		}
		for _, p := range [2]panel{{q.axis, q.lo, mid, q.depth + 1}, {q.axis, mid, q.hi, q.depth + 1}} {
			sum, gap := p.kronrod(f, n)
			stack = append(stack, piece{p, sum, gap})
			for i := 0; i < n; i++ {
				whole[i] += sum[i]
			}
		}
	}
	return total
}

// Gauss-Legendre nodes and weights of order 12 on [-1, 1] (Abramowitz & Stegun
// 25.4.30), for integrals that need no check.
var (
	gaussNode = [12]float64{
		0.9815606342467192, 0.9041172563704748, 0.7699026741943047,
		0.5873179542866175, 0.3678314989981802, 0.12523340851146894,
		-0.1252334085114689, -0.3678314989981802, -0.5873179542866175,
		-0.7699026741943047, -0.9041172563704748, -0.9815606342467192,
	}
	gaussNodeWeight = [12]float64{
		0.047175336386511835, 0.10693932599531818, 0.16007832854334633,
		0.20316742672306584, 0.23349253653835478, 0.24914704581340288,
		0.24914704581340288, 0.23349253653835478, 0.20316742672306584,
		0.16007832854334633, 0.10693932599531818, 0.047175336386511835,
	}
)

"""The linear mixed model with many variance components, by its marginal likelihood.

    y = X b + Z u + e,    u_g ~ N(0, sigma_g^2 I),    e_i ~ N(0, s^2 / w_i),    ln sigma_g ~ N(ln
        scale_g, tau_g^2),  ln s ~ N(ln s0, 1)
    V = s^2 W^-1 + Z D Z'

The log scales maximise  -1/2 ln|V| - 1/2 r'V^-1 r - 1/2 ln|X'V^-1 X| + ln p(sigma)  by L-BFGS with
the exact gradient

    dL / d ln sigma_g^2 = 1/2 sigma_g^2 ( |Z_g' P y|^2 - tr Z_g' P Z_g )

X holds what is not shrunk (often nothing but a level; nothing at all where starting figures are
given). It is taken out by an orthogonal rotation, which is exact, so that with no Z the fit is
least squares by QR and with tau infinite it is REML.
Few rows: the algebra is of size n (kernels Z_g Z_g'). Many rows: the rows are first folded into a
triangle R with R'R = Z'WZ, by QR or from summed Z'WZ, and the algebra is of size p; nothing of size
n^2 is ever made.
Sources: Patterson and Thompson (1971), Biometrika 58(3), REML; Harville (1977), J. Am. Stat. Assoc.
72(358), gradient.
"""

from __future__ import annotations

import numpy as np
from numpy import ndarray as Array
from scipy.linalg import cholesky, lapack, qr, solve_triangular
from scipy.optimize import minimize

from pricing.basis.frozen import frozen

SUMMED_FROM = 4000  # rows
# ln sigma stays within this of ln scale: unbounded scales have failed on real data
LOWEST, HIGHEST = (4.5, 2.5)


@frozen
class Prior:
    """What is assumed of the scales. scale, tau: (G,); tau 0 keeps a scale, infinite lets the data
    decide; error, error_tau: of the error scale s. shared: blocks whose ln scales move together,
    (G,) of 0/1, and by how much (sd)."""

    scale: Array
    tau: Array
    error: float = 0.22
    error_tau: float = 1.0
    shared: Array | None = None
    shared_tau: float = 0.0

    def precision(self) -> Array:
        """Inverse covariance of (ln sigma, ln s), (G + 1, G + 1); 0 for scales kept or free."""
        tau = np.append(self.tau, self.error_tau)
        free = np.flatnonzero((tau > 0) & np.isfinite(tau))
        together = (
            np.append(np.zeros(len(self.tau)) if self.shared is None else self.shared, 0.0)[free]
            * self.shared_tau
        )
        out = np.zeros((len(tau), len(tau)))
        if len(free):
            own = np.diag(tau[free] ** 2)
            out[np.ix_(free, free)] = np.linalg.inv(own + np.outer(together, together))
        return out


@frozen
class Folded:
    """Rows after weighting, with X rotated out and, where there are more rows than columns, folded
    into a triangle. Z: (m, p); y: (m,); rest: what of y'y lies outside of Z's rows; n: degrees of
    freedom left; X_X, X_Z, X_y: the rows rotated out, X upper triangular (q, q); kept: columns of X
    that are not combinations of others; log_weights: sum of ln w."""

    Z: Array
    y: Array
    rest: float
    n: int
    X_X: Array
    X_Z: Array
    X_y: Array
    kept: Array
    log_weights: float


@frozen
class Posterior:
    """Coefficients of (X, Z): mean, covariance; scales (G,), error s, value of the maximum."""

    mean: Array
    covariance: Array
    scale: Array
    error: float
    log_likelihood: float


@frozen
class Estimate:
    """One fit: where the scales ended (theta = ln sigma …, ln s), likelihood and coefficients."""

    posterior: Posterior
    likelihood: MixedLikelihood
    theta: Array


def estimate(
    X: Array,
    Z: Array,
    y: Array,
    weights: Array,
    group: Array,
    prior: Prior,
    start: Array | None = None,
    steps: int = 60,
) -> Estimate:
    """Scales by marginal likelihood, then coefficients: the one function that every fit of a price
    model calls.

    X: columns that are not shrunk, (n, q); Z: columns that are, (n, p); y, weights: (n,); group:
    block of each column of Z, (p,).
    start: scales to begin from (ln sigma …, ln s), default the prior's; steps: at most so many
    steps of L-BFGS. With no Z and `prior.error_tau` infinite this is weighted least squares.

    >>> X, y = np.array([[1.0, 0.0], [1.0, 1.0], [1.0, 2.0]]), np.array([1.0, 3.0, 5.0])
    >>> none, free = np.zeros(0, dtype=int), Prior(np.zeros(0), np.zeros(0), 1.0, np.inf)
    >>> line = estimate(X, np.zeros((3, 0)), y, np.ones(3), none, free)
    >>> line.posterior.mean.round(12).tolist()
    [1.0, 2.0]
    """
    return estimate_folded(fold(X, Z, y, weights), group, prior, start, steps)


def estimate_folded(
    rows: Folded, group: Array, prior: Prior, start: Array | None = None, steps: int = 60
) -> Estimate:
    """The same from folded rows."""
    likelihood = MixedLikelihood(rows, group, prior)
    theta, value = maximise(likelihood, likelihood.centre if start is None else start, steps)
    return Estimate(posterior(rows, group, theta, value), likelihood, theta)


def fold(X: Array, Z: Array, y: Array, weights: Array) -> Folded:
    """Weight the rows, rotate X (n, q) out by QR, fold where rows outnumber columns of Z (n, p)."""
    root = np.sqrt(weights)
    Xw, Zw, yw = X * root[:, None], Z * root[:, None], y * root
    n, p = Zw.shape
    log_weights = float(np.log(weights).sum())
    kept = np.arange(X.shape[1])
    if X.shape[1]:
        # A column that follows from others says nothing of its own: by QR with pivoting those are
        # left out whose diagonal entry is rounding error.
        length = np.sqrt((Xw**2).sum(0))
        length[length == 0] = 1.0
        _, triangle, order = qr(Xw / length, mode="economic", pivoting=True)
        size = np.abs(np.diag(triangle))
        rank = int((size > 1e-12 * max(size[0], 1e-300) * max(Xw.shape)).sum()) if len(size) else 0
        kept = np.sort(order[:rank])
        Xw = Xw[:, kept]
    q = len(kept)
    # Many rows, and no columns of X to keep apart: sums are exact enough and ten times as fast
    if n > SUMMED_FROM and q < 2:
        table = np.column_stack([Xw, Zw, yw])
        return fold_sums(table.T @ table, q, n, log_weights)
    # |y - X b - Z u|^2 is the same for the rows of R in [X Z y] = QR, so R stands for any number of
    # rows; its last corner is what no coefficient can explain.
    if n > p + q:
        triangle = _triangle(np.column_stack([Xw, Zw, yw]))
        return _split(triangle, q, p, n, kept, log_weights)
    if not q:
        none = (np.zeros((0, 0)), np.zeros((0, p)), np.zeros(0))
        return Folded(Zw, yw, 0.0, n, *none, kept, log_weights)
    # Fewer rows than columns: the last n - q rows of Q'[Z y] do not depend on the coefficients of
    # X, and their likelihood is the restricted one (Patterson and Thompson 1971, Biometrika 58(3)).
    Q, triangle = qr(Xw, mode="full")
    Zr, yr = Q.T @ Zw, Q.T @ yw
    return Folded(Zr[q:], yr[q:], 0.0, n - q, triangle[:q, :q], Zr[:q], yr[:q], kept, log_weights)


def fold_sums(gram: Array, q: int, n: int, log_weights: float) -> Folded:
    """The same from the summed [X Z y]'W[X Z y], shape (q + p + 1, q + p + 1), n rows."""
    length = np.sqrt(np.diag(gram).copy())
    length[length == 0] = 1.0
    # To unit length first: beside a column of thousands one of hundredths would drown in rounding.
    # From the eigenvectors a matrix H with H'H = gram, whose R is that of the rows.
    scaled = gram / np.outer(length, length)
    values, vectors = np.linalg.eigh(scaled)
    half = np.sqrt(np.maximum(values, 0.0))[:, None] * vectors.T * length
    return _split(_triangle(half), q, gram.shape[0] - q - 1, n, np.arange(q), log_weights)


def _triangle(rows: Array) -> Array:
    """R of rows = QR, shape (k, k), padded with zero rows where rows are fewer than columns."""
    k = rows.shape[1]
    R = qr(rows, mode="r")[0][:k]
    return np.vstack([R, np.zeros((k - len(R), k))]) if len(R) < k else R


def _split(triangle: Array, q: int, p: int, n: int, kept: Array, log_weights: float) -> Folded:
    rest = float(triangle[q + p, q + p] ** 2)
    X_y = triangle[:q, q + p]
    return Folded(
        triangle[q : q + p, q : q + p],
        triangle[q : q + p, q + p],
        rest,
        n - q,
        triangle[:q, :q],
        triangle[:q, q : q + p],
        X_y,
        kept,
        log_weights,
    )


class MixedLikelihood:
    """Minus the log marginal likelihood and its gradient at theta = (ln sigma …, ln s)."""

    def __init__(self, rows: Folded, group: Array, prior: Prior) -> None:
        self.rows, self.group, self.prior = rows, group, prior
        self.n_blocks = len(prior.scale)
        self.m, self.p = rows.Z.shape
        self.small = self.m < self.p
        self.centre = np.append(np.log(prior.scale), np.log(prior.error))
        self.tau = np.append(prior.tau, prior.error_tau)
        self.precision = prior.precision()
        if self.small:
            self.used = np.flatnonzero(np.bincount(group, minlength=self.n_blocks))
            # Kernels are symmetric: only their lower halves are kept, one row a block
            below, beside = np.tril_indices(self.m)
            # Positions in a matrix kept by columns
            self.packed = np.ravel_multi_index((beside, below), (self.m, self.m))
            self.twice = np.where(below == beside, 1.0, 2.0)
            self.kernels = np.empty((len(self.used), len(below)))
            for row, g in enumerate(self.used):
                here = rows.Z[:, group == g]
                self.kernels[row] = (here @ here.T)[below, beside]
        else:
            self.gram, self.right = rows.Z.T @ rows.Z, rows.Z.T @ rows.y
            self.square = float(rows.y @ rows.y)

    def __call__(self, theta: Array) -> tuple[float, Array]:
        value, gradient = self._small(theta) if self.small else self._large(theta)
        pulled = self.precision @ (theta - self.centre)
        value += 0.5 * float((theta - self.centre) @ pulled)
        gradient += pulled
        # A scale that is said (tau 0) does not move.
        gradient[self.tau == 0] = 0.0
        return value, gradient

    def root(self, theta: Array) -> tuple[Array, float]:
        """Few rows: the lower Cholesky factor of V, and half the log of its determinant."""
        V = np.zeros(self.m * self.m)
        V[self.packed] = np.exp(2 * theta[self.used]) @ self.kernels
        V[:: self.m + 1] += np.exp(2 * theta[self.n_blocks])
        return _root(V.reshape(self.m, self.m).T)

    def _small(self, theta: Array) -> tuple[float, Array]:
        G, y = self.n_blocks, self.rows.y
        if not self.m:  # as many rows as columns of X: they say nothing of the scales
            return 0.0, np.zeros(G + 1)
        # -ln L = ln|V| / 2 + y'V^-1 y / 2 with V = sum over g of sigma_g^2 K_g + s^2 I, K_g = Z_g
        # Z_g'; V = L L', a = V^-1 y.
        L, half_log = self.root(theta)
        a, _ = lapack.dpotrs(L, y, lower=1)
        value = half_log + 0.5 * float(y @ a)
        inverse, _ = lapack.dpotri(L, lower=1, overwrite_c=1)
        gradient = np.zeros(G + 1)
        # d/d ln sigma_g = sigma_g^2 (tr(V^-1 K_g) - a'K_g a): one product with the packed kernels
        # for all blocks at once.
        half = (inverse.T.ravel()[self.packed] - np.outer(a, a).ravel()[self.packed]) * self.twice
        gradient[self.used] = np.exp(2 * theta[self.used]) * (self.kernels @ half)
        gradient[G] = np.exp(2 * theta[G]) * (float(np.trace(inverse)) - float(a @ a))
        return value, gradient

    def value(self, theta: Array) -> float:
        """The value alone, without the inverse where rows are few."""
        if not self.small or not self.m:
            return self(theta)[0]
        L, half_log = self.root(theta)
        a, _ = lapack.dpotrs(L, self.rows.y, lower=1)
        apart = theta - self.centre
        return half_log + 0.5 * float(self.rows.y @ a) + 0.5 * float(apart @ self.precision @ apart)

    def _large(self, theta: Array) -> tuple[float, Array]:
        G, p, rows, group = self.n_blocks, self.p, self.rows, self.group
        s2 = np.exp(2 * theta[G])
        sd = np.exp(theta[:G])[group]
        # Many rows: by the identity of Woodbury (1950) V^-1 and |V| need only the p x p matrix I +
        # D Z'Z D / s^2 with D = diag(sigma). v are the coefficients in sigmas, D v in log points.
        inverse, half_log = _inverse(np.eye(p) + self.gram * np.outer(sd, sd) / s2)
        v = inverse @ (sd * self.right) / s2
        w = sd * v
        square = self.square - 2 * float(w @ self.right) + float(w @ self.gram @ w)
        error = max(square, 0.0) + rows.rest
        size = float(v @ v)
        value = half_log + rows.n * theta[G] + 0.5 * (error / s2 + size)
        # 1 - left counts the coefficients that the sales determine (0 none, 1 a whole one): by
        # block for sigma_g, in sum as the degrees of freedom that s loses.
        left = np.diag(inverse)
        of_blocks = np.bincount(group, weights=1 - left - v**2, minlength=G)
        gradient = np.append(of_blocks, rows.n - (p - left.sum()) - error / s2)
        return value, gradient

    def curvature(self, theta: Array) -> Array:
        """Average of the observed and the expected information on theta, prior added, shape (G + 1,
        G + 1): Gilmour, Thompson and Cullis (1995), Biometrics 51(4)."""
        G, rows = self.n_blocks, self.rows
        s2, sd = np.exp(2 * theta[G]), np.exp(theta[:G])[self.group]
        work = np.zeros((G + 1, self.m))
        if not self.m:
            return self.precision
        if self.small:
            L, _ = self.root(theta)
            a, _ = lapack.dpotrs(L, rows.y, lower=1)
            for g in self.used:
                here = rows.Z[:, self.group == g]
                work[g] = np.exp(2 * theta[g]) * (here @ (here.T @ a))
            work[G] = s2 * a
            solved, _ = lapack.dpotrs(L, work.T, lower=1)
            H = 2 * work @ solved
        else:
            inverse, _ = _inverse(np.eye(self.p) + self.gram * np.outer(sd, sd) / s2)
            v = sd * (inverse @ (sd * self.right)) / s2
            for block in range(G):
                here = self.group == block
                work[block] = rows.Z[:, here] @ v[here]
            work[G] = rows.y - rows.Z @ v
            # w'V^-1 w as what a ridge fit of w leaves plus the size of its coefficients: no
            # difference of large numbers
            sizes = ((work @ rows.Z) * sd) @ inverse / s2
            left = work - (sizes * sd) @ rows.Z.T
            H = 2 * (left @ left.T / s2 + sizes @ sizes.T)
            H[G, G] += 2 * rows.rest / s2
        return H + self.precision


def _root(A: Array) -> tuple[Array, float]:
    """Lower Cholesky factor of a positive definite matrix, and half the log of its determinant."""
    if not len(A):
        return A, 0.0
    L, info = lapack.dpotrf(A, lower=1, clean=1)
    if info:
        whole = np.tril(A) + np.tril(A, -1).T
        lifted = whole + np.eye(len(A)) * 1e-10 * np.trace(A) / len(A)
        L = np.asfortranarray(cholesky(lifted, lower=True))
    return L, float(np.log(np.diag(L)).sum())


def _inverse(A: Array) -> tuple[Array, float]:
    """Inverse of a positive definite matrix, and half the log of its determinant."""
    L, half_log = _root(A)
    if not len(A):
        return A, 0.0
    inverse, _ = lapack.dpotri(L, lower=1, overwrite_c=1)
    return np.tril(inverse) + np.tril(inverse, -1).T, half_log


def maximise(likelihood: MixedLikelihood, start: Array, steps: int = 60) -> tuple[Array, float]:
    """The log scales that maximise the marginal likelihood within bounds, and the value there."""
    centre, tau, rows = likelihood.centre, likelihood.tau, likelihood.rows
    # Nothing but s to find: s^2 = rest / degrees of freedom
    if not likelihood.p and np.isinf(tau[-1]):
        theta = centre.copy()
        square = float(rows.y @ rows.y) + rows.rest
        theta[-1] = 0.5 * np.log(max(square, 1e-300) / max(rows.n, 1))
        return theta, -float(likelihood(theta)[0])
    wide = ~np.isfinite(tau)
    reach = np.where(tau == 0, 0.0, np.where(wide, 12.0, 1.0))
    low = centre - np.where(wide, reach, reach * LOWEST)
    high = centre + np.where(wide, reach, reach * HIGHEST)
    free = 12.0 if tau[-1] > 0 else 0.0
    low[-1], high[-1] = centre[-1] - free, centre[-1] + free
    tight = {"maxiter": steps, "ftol": 1e-9, "gtol": 1e-5}
    if wide[:-1].any():
        tight = {"maxiter": 500, "ftol": 1e-14, "gtol": 1e-9}
    bounds, start = list(zip(low, high, strict=True)), np.clip(start, low, high)
    found = minimize(likelihood, start, jac=True, method="L-BFGS-B", bounds=bounds, options=tight)
    return found.x, -float(found.fun)


def posterior(
    rows: Folded, group: Array, theta: Array, log_likelihood: float = np.nan
) -> Posterior:
    """Mean and covariance of (X, Z) coefficients at given log scales.  S = D - D Z'V^-1 Z D = (Z'Z
    / s^2 + D^-1)^-1."""
    G = len(theta) - 1
    s2, sd = float(np.exp(2 * theta[G])), np.exp(theta[:G])[group]
    m, p = rows.Z.shape
    if m < p:
        A = rows.Z * sd
        V = A @ A.T
        V[np.diag_indices(m)] += s2
        half = np.column_stack([A, rows.y])
        if m:  # of one sale nothing is left for Z, and older scipy solves no empty system
            half = solve_triangular(_root(V)[0], half, lower=True)
        u = sd * (half[:, :p].T @ half[:, p])
        S = -(half[:, :p].T @ half[:, :p]) * np.outer(sd, sd)
        S[np.diag_indices(p)] += sd**2
    else:
        inverse, _ = _inverse(np.eye(p) + (rows.Z.T @ rows.Z) * np.outer(sd, sd) / s2)
        S = inverse * np.outer(sd, sd)
        u = S @ (rows.Z.T @ rows.y) / s2
    u, S = with_rest(rows, u, S, s2)
    return Posterior(u, S, np.exp(theta[:G]), float(np.sqrt(s2)), log_likelihood)


def with_rest(rows: Folded, u: Array, S: Array, s2: float) -> tuple[Array, Array]:
    """Mean and covariance of (X, Z) from those of Z: b = X_X^-1 (X_y - X_Z u)."""
    q = len(rows.X_y)
    if not q:
        return u, S
    B = solve_triangular(rows.X_X, rows.X_Z)
    b = solve_triangular(rows.X_X, rows.X_y) - B @ u
    half = solve_triangular(rows.X_X, np.eye(q))
    BS = B @ S
    return np.append(b, u), np.block([[s2 * half @ half.T + BS @ B.T, -BS], [-BS.T, S]])

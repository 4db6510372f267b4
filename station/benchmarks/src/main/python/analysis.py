"""SciPy's side of the analysis benchmark: the same captures, the same arithmetic.

Arguments: folder with the captures, sample rate, cycles of the coherent tone, cycles of the sweep.
Prints one line per analysis: name, median milliseconds, figures. Lines with # are for people.
"""
import sys
import time

import numpy as np
import scipy
from scipy import fft, linalg

FOLDER, RATE, CYCLES, SWEEP_CYCLES = (
    sys.argv[1], float(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
HARMONICS = 10
LOW, HIGH = 20.0, 20000.0


def coherent(x):
    n = len(x)
    square = np.abs(fft.rfft(x)) ** 2 * (2.0 / n**2)
    level = square[CYCLES]
    thd = np.sqrt(sum(square[k * CYCLES] for k in range(2, HARMONICS + 1)) / level)
    first, last = int(np.ceil(LOW * n / RATE)), int(np.floor(HIGH * n / RATE))
    rest = square[first:last + 1].sum() - level
    return np.sqrt(level), thd, np.sqrt(rest / (level + rest))


def columns(omega, t, orders):
    angle = np.outer(t, omega * np.arange(1, orders + 1))
    return np.cos(angle), np.sin(angle)


def fit(x, omega, orders, steps):
    """Weighted Gauss-Newton on frequency, offset and harmonics, by the normal equations."""
    n = len(x)
    t = np.arange(n) - (n - 1) / 2
    weight = (1 + np.cos(2 * np.pi * t / n)) / 2
    found = None
    for step in range(steps + 1):
        cos, sin = columns(omega, t, orders)
        basis = [np.ones((n, 1)), cos, sin]
        if found is not None:
            order = np.arange(1, orders + 1)
            slope = sin @ (-order * found[1:orders + 1]) + cos @ (order * found[orders + 1:])
            scale = n / 2 * np.hypot(found[1], found[orders + 1])
            basis.append((t * slope / scale)[:, None])
        basis = np.hstack(basis)
        weighted = basis * weight[:, None]
        solved = linalg.solve(weighted.T @ basis, weighted.T @ x, assume_a="sym")
        if found is not None:
            omega += solved[-1] / scale
            solved = solved[:-1]
        found = solved
    return omega, found


def fitted(x):
    n = len(x)
    part = x[(n - 65536) // 2:(n + 65536) // 2]
    spectrum = np.abs(fft.rfft((part - part.mean()) * np.hanning(65537)[:-1]))
    first, last = int(900 * 65536 / RATE), int(1100 * 65536 / RATE)
    peak = first + int(np.argmax(spectrum[first:last + 1]))
    sides = spectrum[peak + 1], spectrum[peak - 1]
    ratio = max(sides) / spectrum[peak]
    offset = (2 * ratio - 1) / (1 + ratio) * (1 if sides[0] >= sides[1] else -1)
    omega, _ = fit(part, 2 * np.pi * (peak + offset) / 65536, 1, 3)
    omega, found = fit(x, omega, HARMONICS, 2)
    t = np.arange(n) - (n - 1) / 2
    cos, sin = columns(omega, t, HARMONICS)
    rest = x - found[0] - cos @ found[1:HARMONICS + 1] - sin @ found[HARMONICS + 1:]
    squares = (found[1:HARMONICS + 1] ** 2 + found[HARMONICS + 1:] ** 2) / 2
    window = np.hanning(n + 1)[:-1]
    power = np.abs(fft.rfft(rest * window)) ** 2
    low, high = int(np.ceil(LOW * n / RATE)), int(np.floor(HIGH * n / RATE))
    noise = power[low:high + 1].sum() * 2 / (n * (window**2).sum())
    level, harmonics = squares[0], squares[1:].sum()
    return (np.sqrt(level), np.sqrt(harmonics / level),
            np.sqrt((harmonics + noise) / (level + harmonics + noise)))


def raised(position):
    return (1 - np.cos(np.pi * np.clip(position, 0, 1))) / 2


def fade(hz):
    top = min(1.1 * HIGH, (HIGH + RATE / 2) / 2)
    with np.errstate(divide="ignore"):
        return np.where(
            hz < LOW, raised(np.log2(2 * hz / LOW)),
            np.where(hz <= HIGH, 1, raised(1 - np.log(hz / HIGH) / np.log(top / HIGH))))


def played():
    per_factor = SWEEP_CYCLES / LOW
    lead = int(np.ceil(per_factor * np.log(2) * RATE))
    top = min(1.1 * HIGH, (HIGH + RATE / 2) / 2)
    length = lead + int(np.ceil((per_factor * (np.log(HIGH / LOW) + np.log(top / HIGH))) * RATE))
    factor = np.exp((np.arange(length) - lead) / RATE / per_factor)
    return fade(LOW * factor) * np.sin(2 * np.pi * SWEEP_CYCLES * factor)


def sweep(captured):
    length = 1 << (len(captured) - 1).bit_length()
    x = fft.rfft(played(), length)
    y = fft.rfft(captured, length)
    through = fade(np.arange(len(x)) * RATE / length) ** 2
    through[-1] = 0
    quotient = np.zeros_like(y)
    used = through > 0
    quotient[used] = y[used] / x[used] * through[used]
    impulse, wire = fft.irfft(quotient, length), fft.irfft(through, length)
    per_factor = SWEEP_CYCLES / LOW * RATE
    responses = []
    for order in range(1, 6):
        left = per_factor * np.log((order + 1) / order)
        right = per_factor * np.log(order / (order - 1)) if order > 1 else left
        full, end = (0.5, 0.9) if order > 1 else (1.0, 1.5)
        index = np.arange(-int(0.7 * left), int(end * right) + 1)
        gate = np.where(index < 0, raised((0.7 * left + index) / (0.3 * left)),
                        raised((end * right - index) / ((end - full) * right)))
        size = 1 << (4 * len(index) - 1).bit_length()
        cut, reference = np.zeros(size), np.zeros(size)
        lead = -per_factor * np.log(order)
        centre = int(np.rint(lead))
        cut[index % size] = impulse[(centre + index) % length] * gate
        reference[index % size] = wire[index % length] * gate
        first, last = int(order * LOW * size / RATE), int(np.ceil(HIGH * size / RATE))
        bins = np.arange(first, last + 1)
        response = (fft.rfft(cut)[bins] / fft.rfft(reference)[bins]
                    * np.exp(2j * np.pi * bins / size * (lead - centre)))
        responses.append((bins * RATE / size, response))

    def at(order, hz):
        frequency, response = responses[order - 1]
        return np.interp(order * hz, frequency, np.abs(response))
    return at(1, 20), at(1, 1000), at(1, 20000), at(2, 1000)


def median_millis(work, data, runs):
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work(data)
        times.append(time.perf_counter() - start)
    return 1000 * sorted(times)[runs // 2]


print(f"# Python {sys.version.split()[0]}, NumPy {np.__version__}, SciPy {scipy.__version__}")
for name, work, runs in (("coherent", coherent, 15), ("fitted", fitted, 3), ("sweep", sweep, 9)):
    data = np.fromfile(f"{FOLDER}/{name}", dtype="<f8")
    values = work(data)
    print(name, median_millis(work, data, runs), *(float(v) for v in values))

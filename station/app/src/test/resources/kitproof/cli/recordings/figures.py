"""Measures what recordings.py made: figures.py FOLDER > figures.csv

Done with NumPy 2.4.6 and SciPy 1.17.1, by other methods than kitproof's where there are some: sines
by scipy.optimize.least_squares on frequency with all lines solved at each step, spectra by
scipy.signal.periodogram and welch, the A curve from the formula of IEC 61672-1, a square wave by
folding its periods over one another, sweeps by dividing spectra.
"""
import sys

import numpy as np
from scipy import optimize, signal
from scipy.io import wavfile

FOLDER = sys.argv[1]
ROWS = []


def read(name):
    rate, data = wavfile.read("%s/%s.wav" % (FOLDER, name))
    scale = 2.0 ** 15 if data.dtype == np.int16 else 2.0 ** 31
    data = np.atleast_2d(data.T).astype(float) / scale
    return rate, data


def row(command, name, channel, x, value, unit, tolerance, how):
    ROWS.append((command, name, channel, x, "%.9g" % value, unit, "%g" % tolerance, how))


def db(ratio):
    return 20 * np.log10(ratio)


def sines(x, rate, start, orders):
    """Fits offset and lines at combinations of the base frequencies, which are fitted too."""
    t = np.arange(len(x)) / rate

    def design(base):
        columns = [np.ones_like(t)]
        for order in orders:
            w = 2 * np.pi * abs(np.dot(order, base))
            columns += [np.cos(w * t), np.sin(w * t)]
        return np.column_stack(columns)

    def residual(offset):
        a = design(np.array(start) + offset)
        return a @ np.linalg.lstsq(a, x, rcond=None)[0] - x

    found = optimize.least_squares(residual, np.zeros(len(start)), x_scale=0.01, xtol=1e-14)
    base = np.array(start) + found.x
    c = np.linalg.lstsq(design(base), x, rcond=None)[0]
    return base, np.hypot(c[1::2], c[2::2]), residual(found.x)


def peak_near(x, rate, hz):
    f, p = signal.periodogram(x, rate, "hann", nfft=1 << 20)
    near = (f > 0.95 * hz) & (f < 1.05 * hz)
    return f[near][np.argmax(p[near])]


def tone():
    rate, (out, ref) = read("tone")
    base, a, rest = sines(out, rate, [peak_near(out, rate, 997)], [[k] for k in range(1, 11)])
    _, b, _ = sines(ref, rate, [base[0]], [[1], [2]])
    how = "scipy.optimize.least_squares of frequency and ten orders"
    row("tone", "frequency", 1, "", base[0], "Hz", 1e-4, how)
    row("tone", "gain", 1, "", db(a[0] / b[0]), "dB", 1e-3, how)
    row("tone", "thd", 1, "", 100 * np.sqrt(np.sum(a[1:] ** 2)) / a[0], "%", 1e-4, how)
    for k in (2, 3):
        row("tone", "harmonic %d" % k, 1, "", db(a[k - 1] / a[0]), "dB", 0.01, how)
    band = np.sum(a[1:] ** 2) / 2 + np.mean(rest ** 2) * 19980 / (rate / 2)
    row("tone", "thd+n", 1, "", 100 * np.sqrt(band / (band + a[0] ** 2 / 2)), "%", 2e-4, how)


def spectrum():
    """The lines of a tone by least squares; its waveform and the rest from the lines again."""
    rate, (out, _) = read("tone")
    base, a, rest = sines(out, rate, [peak_near(out, rate, 997)], [[k] for k in range(1, 11)])
    how = "scipy.optimize.least_squares of frequency and ten orders"
    for k in (1, 2, 3):
        at = "%.9g" % (k * base[0])
        # 0 dB is a full-scale sine; a flat top is true to a hundredth of a decibel.
        row("spectrum", "spectrum", 1, at, db(a[k - 1]), "dB", 0.02, how)
        row("spectrum", "harmonic spectrum", 1, at, db(a[k - 1] / a[0]), "dB", 0.02, how)
    w = 2 * np.pi * base[0] * np.arange(len(out)) / rate
    c = np.linalg.lstsq(np.column_stack([np.ones_like(w), np.cos(w), np.sin(w)]), out, rcond=None)[0]
    left = out - c[0] - c[1] * np.cos(w) - c[2] * np.sin(w)
    how = "numpy.linalg.lstsq of the fundamental; the largest of what is left of the samples"
    # Three periods need not hold the largest of all; the waveform is told with its offset.
    row("spectrum", "residual waveform", 1, "most", 100 * np.max(left) / a[0], "%", 0.02, how)
    row("spectrum", "waveform", 1, "most", np.max(out), "", 2e-3, "numpy.max")


def pairs():
    how = "scipy.optimize.least_squares of both frequencies and all lines"
    orders = [[1, 0], [0, 1], [-1, 1], [2, -1], [-1, 2]]
    rate, (x,) = read("difference")
    _, a, _ = sines(x, rate, [peak_near(x, rate, 19000), peak_near(x, rate, 20000)], orders)
    name = "difference-frequency-distortion"
    row(name, "difference-frequency distortion 2", "", "", 100 * a[2] / (a[0] + a[1]), "%", 2e-4, how)
    row(
        name, "difference-frequency distortion 3", "", "",
        100 * (a[3] + a[4]) / (a[0] + a[1]), "%", 2e-4, how)
    row(name, "product f2-f1", "", "", db(a[2] / a[1]), "dB", 0.01, how)
    rate, (x,) = read("modulation")
    orders = [[1, 0], [0, 1], [-1, 1], [1, 1], [-2, 1], [2, 1], [2, 0], [3, 0], [0, 2]]
    _, a, _ = sines(x, rate, [peak_near(x, rate, 60), peak_near(x, rate, 7000)], orders)
    name = "modulation-distortion"
    row(name, "modulation distortion 2", "", "", 100 * (a[2] + a[3]) / a[1], "%", 1e-3, how)
    row(name, "modulation distortion 3", "", "", 100 * (a[4] + a[5]) / a[1], "%", 1e-3, how)
    row(name, "sideband f2+f1", "", "", db(a[3] / a[1]), "dB", 0.01, how)


def a_curve(f):
    """IEC 61672-1, from its rounded pole frequencies; 0 dB at 1 kHz."""
    def r(f):
        return (
            12194.0 ** 2 * f ** 4
            / ((f ** 2 + 20.6 ** 2) * (f ** 2 + 12194.0 ** 2))
            / np.sqrt((f ** 2 + 107.7 ** 2) * (f ** 2 + 737.9 ** 2)))
    return r(f) / r(1000.0)


def c_curve(f):
    """The same standard's C."""
    def r(f):
        return 12194.0 ** 2 * f ** 2 / ((f ** 2 + 20.6 ** 2) * (f ** 2 + 12194.0 ** 2))
    return r(f) / r(1000.0)


def silence():
    rate, (x,) = read("silence")
    x = x - np.mean(x)
    # 0 dB is a full-scale sine.
    x = x * np.sqrt(2)
    f, p = signal.welch(x, rate, "hann", nperseg=1 << 14)
    band = (f >= 20) & (f <= 20000)
    df = f[1] - f[0]
    how = "scipy.signal.welch, 16384 points, Hann"
    row("noise", "noise", "", "none", db(np.sqrt(np.sum(p[band]) * df)), "dB", 0.1, how)
    a = a_curve(f[band]) ** 2
    row("noise", "noise", "", "A", db(np.sqrt(np.sum(p[band] * a) * df)), "dB", 0.1, how)
    c = c_curve(f[band]) ** 2
    row("noise", "noise", "", "C", db(np.sqrt(np.sum(p[band] * c) * df)), "dB", 0.1, how)
    base, a, _ = sines(x, rate, [49.99], [[1], [2], [3]])
    how = "scipy.optimize.least_squares of frequency and three orders"
    # The recording is noisy, and each method takes in another bandwidth of the noise.
    for k in (1, 2, 3):
        row("hum", "hum %d Hz" % (50 * k), "", "", db(a[k - 1] / np.sqrt(2)), "dB", (0.05, 0.1, 0.2)[k - 1], how)


def stability():
    rate, (x,) = read("stability")
    f, p = signal.periodogram(x, rate, "flattop", scaling="spectrum")
    high = f > 5000
    spaced = np.abs(f - 1000 * np.round(f / 1000)) > 100
    at = np.argmax(np.where(high & spaced, p, 0))
    how = "scipy.signal.periodogram, flat top"
    row("stability", "stray line", "", "", db(np.sqrt(2) * np.sqrt(p[at])), "dB", 0.02, how)
    row("stability", "stray line frequency", "", "", f[at], "Hz", 3, how)


def square():
    rate, (x,) = read("square")
    rough = peak_near(x, rate, 80)
    base, _, _ = sines(x, rate, [rough], [[k] for k in range(1, 40, 2)])
    phase = np.arange(len(x)) / rate * base[0] % 1
    # Both halves over one another, the second turned over; then the mean in fine bins.
    half = 2 * phase % 1
    x = np.where(phase < 0.5, x - np.mean(x), np.mean(x) - x)
    bins = 1200
    index = np.minimum((half * bins).astype(int), bins - 1)
    fold = np.bincount(index, x, bins) / np.bincount(index, minlength=bins)
    steepest = np.argmax(np.abs(np.diff(np.concatenate([fold, -fold]))))
    wave = np.concatenate([fold, -fold, fold])[steepest + 1:steepest + 1 + bins]
    wave = wave * np.sign(np.mean(wave))
    top = np.mean(wave[int(0.6 * bins):int(0.9 * bins)])
    seconds = 0.5 / base[0] / bins
    how = "numpy: periods folded over one another, 1200 bins in half a period"
    row("square-wave", "overshoot", "", "", 100 * (np.max(wave) - top) / (2 * top), "%", 0.5, how)
    first = np.argmax(wave)
    second = first + 60 + np.argmax(wave[first + 60:first + 300])
    row("square-wave", "ringing frequency", "", "", 1 / ((second - first) * seconds), "Hz", 20, how)


def stairs():
    rate, (out, drive) = read("stairs")
    clock = rate * (1 - 200e-6)
    watts, volts, thd = [], [], []
    for k in range(12):
        part = slice(int((0.2345 + 0.12 * k + 0.05) * clock), int((0.2345 + 0.12 * k + 0.115) * clock))
        base, a, _ = sines(out[part], rate, [1000 * rate / clock], [[j] for j in range(1, 6)])
        _, b, _ = sines(drive[part], rate, [base[0]], [[1], [2]])
        watts.append((20 * a[0]) ** 2 / 2 / 8)
        volts.append(b[0] / np.sqrt(2))
        thd.append(100 * np.sqrt(np.sum(a[1:] ** 2)) / a[0])
    how = "scipy.optimize.least_squares on each stair, numpy.interp over logarithms"
    name = "distortion-against-power"
    for k in (3, 11):
        row(name, "thd against power", 1, "%.9g" % watts[k], thd[k], "%", 3e-4, how)
    lw = np.log(watts)
    row(
        name, "input sensitivity", 1, "",
        np.exp(np.interp(np.log(5.0), lw, np.log(volts))), "V", 1e-4, how)
    row(name, "power at 1 %", 1, "", np.exp(np.interp(1.0, thd, lw)), "W", 0.02, how)


def steps():
    rate, (x,) = read("steps")
    for k, hz in enumerate((100, 500, 2000, 5000)):
        part = x[int((0.111 + 0.5 * k + 0.05) * rate):int((0.111 + 0.5 * k + 0.45) * rate)]
        base, a, _ = sines(part, rate, [peak_near(part, rate, hz)], [[1], [2], [3]])
        row(
            "distortion-against-frequency", "thd against frequency", "", "%.9g" % base[0],
            100 * np.hypot(a[1], a[2]) / a[0], "%", 5e-4, "scipy.optimize.least_squares")


def transfer(x, y):
    """y over x by their spectra, smoothed where both are the answer to one sweep."""
    n = 1 << 18
    return np.fft.rfftfreq(n), np.fft.rfft(y - np.mean(y), n) * np.conj(
        np.fft.rfft(x - np.mean(x), n)), np.abs(np.fft.rfft(x - np.mean(x), n)) ** 2


def level(x, y, rate, hz):
    f, cross, power = transfer(x, y)
    near = np.abs(f * rate / hz - 1) < 0.02
    return np.sum(cross[near]) / np.sum(power[near])


def sweeps():
    rate, (left, right) = read("sweep")
    how = "numpy: cross spectrum of both channels over the power of one, 2 % about the frequency"
    for hz in (100, 1000, 10000):
        h = level(right, left, rate, hz)
        row("channel-balance", "channel balance", "", "%g" % hz, db(np.abs(h)), "dB", 0.02, how)
    for hz in (30, 100, 10000):
        w = [2 * np.pi * hz / rate]
        k = np.tan(np.pi * 30 / rate)
        _, high = signal.freqz([1 / (1 + k), -1 / (1 + k)], [1, -(1 - k) / (1 + k)], w)
        k = np.tan(np.pi * 20000 / rate)
        _, low = signal.freqz([k / (1 + k), k / (1 + k)], [1, -(1 - k) / (1 + k)], w)
        w1 = [2 * np.pi * 1000 / rate]
        _, low1 = signal.freqz([k / (1 + k), k / (1 + k)], [1, -(1 - k) / (1 + k)], w1)
        k = np.tan(np.pi * 30 / rate)
        _, high1 = signal.freqz([1 / (1 + k), -1 / (1 + k)], [1, -(1 - k) / (1 + k)], w1)
        value = db(np.abs(high * low / high1 / low1))[0]
        row("sweep", "frequency response", 1, "%g" % hz, value, "dB", 0.05, "scipy.signal.freqz")


def crosstalk():
    rate, (driven, other) = read("crosstalk")
    how = "numpy: cross spectrum of both channels over the power of one, 2 % about the frequency"
    for hz in (100, 1000, 10000):
        value = db(np.abs(level(driven, other, rate, hz)))
        row("crosstalk", "crosstalk", 2, "%g" % hz, value, "dB", 0.03, how)
        if hz == 1000:
            row("crosstalk", "crosstalk at 1 kHz", 2, "", value, "dB", 0.03, how)


def impedances():
    how = "numpy: cross spectrum of both captures over the power of one"
    rate, (eight,) = read("8ohm")
    _, (six,) = read("6ohm")
    for hz in (1000, 10000):
        q = level(eight, six, rate, hz)
        z = 48 * (q - 1) / (6 - 8 * q)
        row("output-impedance", "output impedance", "", "%g" % hz, np.abs(z), "ohm", 0.01, how)
    _, (without,) = read("without")
    _, (through,) = read("with")
    for hz in (1000, 10000):
        q = level(without, through, rate, hz)
        z = 47e3 * q / (1 - q)
        row("input-impedance", "input impedance", "", "%g" % hz, np.abs(z), "ohm", 200, how)


for measure in (
        tone, spectrum, pairs, silence, stability, square, stairs, steps, sweeps, crosstalk, impedances):
    measure()
print("command,result,channel,at,value,unit,tolerance,how")
for r in ROWS:
    print(",".join(str(c) if "," not in str(c) else '"%s"' % c for c in r))

"""Makes recordings of amplifiers, as somebody else's recorder would: recordings.py FOLDER

Python's standard library only. Each recorder's clock is off, begins when it likes, has an offset
and some noise. What is in them is measured by figures.py (NumPy, SciPy), whose results are in
figures.csv; SavedRecordingsIT holds kitproof analyze to those.
"""
import math
import random
import sys
import wave


def write(path, rate, bits, *channels):
    """PCM; samples of +-1."""
    full = 1 << (bits - 1)
    data = bytearray()
    for frame in zip(*channels):
        for value in frame:
            code = max(-full, min(full - 1, round(value * full)))
            data += code.to_bytes(bits // 8, "little", signed=True)
    with wave.open(path, "wb") as file:
        file.setnchannels(len(channels))
        file.setsampwidth(bits // 8)
        file.setframerate(rate)
        file.writeframes(bytes(data))


class Recorder:
    def __init__(self, rate, ppm, delay, dc, seconds, seed):
        self.rate, self.ppm, self.delay, self.dc = rate, ppm, delay, dc
        self.length = int(seconds * rate)
        self.random = random.Random(seed)

    def times(self):
        """Each sample's time on the clock that plays, which begins at 0."""
        clock = self.rate * (1 + self.ppm * 1e-6)
        return [n / clock - self.delay for n in range(self.length)]

    def record(self, samples, noise=1e-6):
        return [v + self.dc + noise * self.random.gauss(0, 1) for v in samples]


def sine(hz, t):
    return math.sin(2 * math.pi * hz * t)


def amplifier(x):
    """A curve of third order."""
    return 0.8 * x + 0.012 * x * x - 0.03 * x * x * x


def one_pole(samples, rate, gain, corner, high=False):
    """A first-order low-pass or high-pass by the bilinear transform."""
    k = math.tan(math.pi * corner / rate)
    out, before, result = 0.0, 0.0, []
    for x in samples:
        if high:
            out = ((x - before) + (1 - k) * out) / (1 + k)
        else:
            out = (k * (x + before) + (1 - k) * out) / (1 + k)
        before = x
        result.append(gain * out)
    return result


LOW, HIGH, SECONDS = 15.0, 21000.0, 2.0


def sweep(t):
    """Exponential (A. Farina, 2000), its ends faded."""
    if not 0 <= t <= SECONDS:
        return 0.0
    per_factor = SECONDS / math.log(HIGH / LOW)
    edge = min(1.0, t / 0.03, (SECONDS - t) / 0.004)
    return 0.7 * edge * math.sin(2 * math.pi * LOW * per_factor * (math.exp(t / per_factor) - 1))


def staircase(t):
    stair = math.floor(t / 0.12)
    return 0.058 * 10 ** (stair / 9.0) * sine(1000, t) if 0 <= stair < 12 else 0.0


def steps(t):
    step = math.floor(t / 0.5)
    return 0.6 * sine((100, 500, 2000, 5000)[step], t) if 0 <= step < 4 else 0.0


def main(folder):
    r = Recorder(48000, 87, 0, 0.02, 0.9, 1)
    x = [0.6 * sine(997, t) for t in r.times()]
    write(folder + "/tone.wav", r.rate, 24, r.record([amplifier(v) for v in x]), r.record(x))

    r = Recorder(44100, -150, 0, -0.01, 0.53, 2)
    x = [amplifier(0.35 * sine(19000, t) + 0.35 * sine(20000, t)) for t in r.times()]
    write(folder + "/difference.wav", r.rate, 24, r.record(x))

    r = Recorder(96000, 200, 0, 0.03, 0.61, 3)
    x = [amplifier(0.6 * sine(60, t) + 0.15 * sine(7000, t)) for t in r.times()]
    write(folder + "/modulation.wav", r.rate, 32, r.record(x))

    r = Recorder(44100, 0, 0, 0.05, 2.2, 4)
    hum = [1e-3 * sine(49.98, t) + 4e-4 * sine(99.96, t) + 2e-4 * sine(149.94, t) for t in r.times()]
    hiss = one_pole([2e-4 * r.random.gauss(0, 1) for _ in hum], r.rate, 1, 6000)
    write(folder + "/silence.wav", r.rate, 24, r.record([a + b for a, b in zip(hum, hiss)]))

    r = Recorder(96000, -90, 0, 0.01, 0.5, 5)
    x = [amplifier(0.5 * sine(1000, t)) + 3e-4 * sine(33333, t) for t in r.times()]
    write(folder + "/stability.wav", r.rate, 24, r.record(x))

    # Two poles, 25 % damped, at 1.5 kHz: the answer to a step, an edge every 6.25 ms.
    r = Recorder(96000, 130, 0, -0.02, 0.41, 6)
    zeta, w, edge = 0.25, 2 * math.pi * 1500, 1 / 160.0
    root = math.sqrt(1 - zeta * zeta)
    x = []
    for t in r.times():
        since = t % edge
        sign = 1 if math.floor(t / edge) % 2 == 0 else -1
        ring = math.cos(root * w * since) + zeta / root * math.sin(root * w * since)
        x.append(0.4 * sign * (1 - 2 * math.exp(-zeta * w * since) * ring))
    write(folder + "/square.wav", r.rate, 16, r.record(x))

    r = Recorder(48000, -200, 0.2345, 0.01, 1.9, 7)
    x = [staircase(t) for t in r.times()]
    write(folder + "/stairs.wav", r.rate, 32, r.record([amplifier(v) for v in x]), r.record(x))

    r = Recorder(48000, 160, 0.111, 0.02, 2.3, 8)
    write(folder + "/steps.wav", r.rate, 24, r.record([amplifier(steps(t)) for t in r.times()]))

    # The stimulus at its own sample rate, its file begun a little early.
    r = Recorder(44100, 0, 0.05, 0, SECONDS + 0.1, 9)
    write(folder + "/stimulus.wav", r.rate, 24, [sweep(t) for t in r.times()])

    r = Recorder(48000, 60, 0.3, 0.02, SECONDS + 0.8, 10)
    x = [sweep(t) for t in r.times()]
    left = one_pole(one_pole(x, r.rate, -0.9, 30, high=True), r.rate, 1, 20000)
    right = one_pole(x, r.rate, 0.8, 30, high=True)
    write(folder + "/sweep.wav", r.rate, 24, r.record(left), r.record(right))

    # 0.5 ohm and 20 uH behind the output, loaded with 8 and with 6 ohm.
    for name, load in (("8ohm", 8.0), ("6ohm", 6.0)):
        r = Recorder(48000, -40, 0.25, 0, SECONDS + 0.6, 11)
        x = [sweep(t) for t in r.times()]
        corner = (load + 0.5) / (2 * math.pi * 20e-6)
        # Warped as the bilinear transform warps it, so that both have one inductance.
        corner = math.atan(corner / (r.rate / math.pi)) * r.rate / math.pi
        write(
            "%s/%s.wav" % (folder, name),
            r.rate,
            24,
            r.record(one_pole(x, r.rate, load / (load + 0.5), corner)),
        )

    # 100 kohm and 100 pF at the input, behind 47 kohm.
    r = Recorder(48000, -40, 0.25, 0, SECONDS + 0.6, 12)
    x = [0.9 * sweep(t) for t in r.times()]
    write(folder + "/without.wav", r.rate, 24, r.record(x))
    corner = (1 / 100e3 + 1 / 47e3) / (2 * math.pi * 100e-12)
    corner = math.atan(corner / (r.rate / math.pi)) * r.rate / math.pi
    write(folder + "/with.wav", r.rate, 24, r.record(one_pole(x, r.rate, 100 / 147, corner)))

    # Left is driven; right hears it through a small capacitor. Then as long with nothing played.
    r = Recorder(48000, 110, 0.27, -0.01, SECONDS + 0.7, 13)
    x = [sweep(t) for t in r.times()]
    heard = one_pole(one_pole(x, r.rate, 0.004, 6000, high=True), r.rate, 1, 30, high=True)
    write(folder + "/crosstalk.wav", r.rate, 24, r.record(x), r.record(heard))
    quiet = [0.0] * r.length
    write(folder + "/quiet.wav", r.rate, 24, r.record(quiet), r.record(quiet))


if __name__ == "__main__":
    main(sys.argv[1])

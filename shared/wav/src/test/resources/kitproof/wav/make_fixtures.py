"""Writes the WAV and FLAC fixtures with libsndfile (Debian package libsndfile1), a writer that is not ours.

Sample of frame i and channel c: ((7919 i + 104729 c) mod 65536 - 32768) / 32768, which every
encoding holds exactly.
"""
import ctypes

lib = ctypes.CDLL("libsndfile.so.1")


class Info(ctypes.Structure):
    _fields_ = [("frames", ctypes.c_int64), ("samplerate", ctypes.c_int), ("channels", ctypes.c_int),
                ("format", ctypes.c_int), ("sections", ctypes.c_int), ("seekable", ctypes.c_int)]


lib.sf_open.restype = ctypes.c_void_p
lib.sf_open.argtypes = [ctypes.c_char_p, ctypes.c_int, ctypes.POINTER(Info)]
lib.sf_writef_double.argtypes = [ctypes.c_void_p, ctypes.POINTER(ctypes.c_double), ctypes.c_int64]
lib.sf_writef_double.restype = ctypes.c_int64
lib.sf_writef_int.argtypes = [ctypes.c_void_p, ctypes.POINTER(ctypes.c_int32), ctypes.c_int64]
lib.sf_writef_int.restype = ctypes.c_int64
lib.sf_close.argtypes = [ctypes.c_void_p]
PLAIN, EXTENSIBLE, FLAC = 0x010000, 0x130000, 0x170000
CASES = [("plain-16", PLAIN | 2, 1, 44100), ("plain-24", PLAIN | 3, 2, 48000), ("plain-32", PLAIN | 4, 2, 96000),
         ("plain-float", PLAIN | 6, 2, 192000), ("extensible-16", EXTENSIBLE | 2, 2, 48000),
         ("extensible-24", EXTENSIBLE | 3, 3, 192000), ("extensible-float", EXTENSIBLE | 6, 1, 48000),
         ("flac-16", FLAC | 2, 2, 44100), ("flac-24", FLAC | 3, 3, 192000)]
for name, form, channels, rate in CASES:
    frames = 33
    info = Info(0, rate, channels, form, 0, 0)
    handle = lib.sf_open((name + (".flac" if form & FLAC == FLAC else ".wav")).encode(), 0x20, ctypes.byref(info))
    assert handle, name
    codes = [(7919 * i + 104729 * c) % 65536 - 32768 for i in range(frames) for c in range(channels)]
    if name.endswith("float"):
        data = (ctypes.c_double * len(codes))(*[code / 32768 for code in codes])
        written = lib.sf_writef_double(handle, data, frames)
    else:  # as integers: libsndfile scales numbers to the last code, not to 1.0
        data = (ctypes.c_int32 * len(codes))(*[code << 16 for code in codes])
        written = lib.sf_writef_int(handle, data, frames)
    assert written == frames, name
    lib.sf_close(handle)

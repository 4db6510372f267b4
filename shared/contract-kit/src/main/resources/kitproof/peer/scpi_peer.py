"""The instrument's side of SCPI, for tests: a multimeter with a relay card.

Written from IEEE 488.2 (common commands, message syntax, number forms) and SCPI-1999 (Volume 1
syntax and special numbers, Volume 2 command reference, 21.8 error queue), by hand and from memory
where the text was not at hand; it shares nothing with the drivers that it tests.

Orders on standard input, one JSON object a line, each answered by one line:
  {"values": {"VOLT:DC": 331.2}}  what the inputs carry; null is not a number -> "ok"
  {"identity": "Linnet,Bench meter,0002,1.0"} -> "ok"
  {"channels": true}              the closed channels -> such as [101, 102]
  {"stuck": {"101": false}}       a channel that stays so -> "ok"
  {"log": true}                   every message received since the last such order -> a list
  {"port": true}, {"drop": true}  over TCP: the port; cut the connection -> the port; "ok"
  {"error": [-310, "System error"]} puts an error in the queue -> "ok"
  {"fault": "silent"|"half"|"garbled"|"late"|"slow"|"none", "skip": n, "count": n, "seconds": s}
      befalls replies: never, first half only, letters exchanged, after the time, byte by byte over
      the time -> "ok"
"""
import argparse
import json
import os
import re
import socket
import sys
import termios
import threading
import time
import tty

OVERLOAD = 9.9e37  # SCPI-1999 Volume 1, 7.2.1.4
NOT_A_NUMBER = 9.91e37  # SCPI-1999 Volume 1, 7.2.1.5
QUEUE_LENGTH = 10
FUNCTIONS = {
    "VOLT:DC": "VOLTage[:DC]",
    "VOLT:AC": "VOLTage:AC",
    "CURR:DC": "CURRent[:DC]",
    "CURR:AC": "CURRent:AC",
    "RES": "RESistance",
    "FREQ": "FREQuency",
}


class ScpiError(Exception):
    def __init__(self, code, text):
        super().__init__(text)
        self.code, self.text = code, text


def pattern(header):
    """A regular expression for a header such as SYSTem:ERRor[:NEXT] (short or long form only)."""
    out = ""
    for part in re.findall(r"\[:?\w+:?\]|:?\w+", header):
        word = re.search(r"\w+", part).group()
        short = "".join(c for c in word if not c.islower())
        forms = f"(?:{short}|{word})" if short != word else word
        inner = part.strip("[]").replace(word, forms)
        out += f"(?:{inner})?" if part.startswith("[") else inner
    return re.compile("^:?" + out + "$", re.IGNORECASE)


class Instrument:
    def __init__(self, identity):
        self.lock = threading.RLock()
        self.identity = identity
        self.values = {name: 0.0 for name in FUNCTIONS}
        self.stuck = {}
        self.channels = set()
        self.log = []
        self.reset()
        self.errors = []
        self.events = 0
        self.fault = {"fault": "none", "skip": 0, "count": 0, "seconds": 0.0}
        self.commands = [
            ("*CLS", self.clear),
            ("*RST", lambda a: self.reset()),
            ("*WAI", lambda a: None),
            ("*OPC", lambda a: self.event(0)),
            ("SYSTem:REMote", lambda a: None),
            ("SYSTem:LOCal", lambda a: None),
            ("ABORt", lambda a: None),
            ("[SENSe:]FUNCtion[:ON]", self.choose),
            ("ROUTe:CLOSe", lambda a: self.switch(a, True)),
            ("ROUTe:OPEN:ALL", lambda a: self.open_all()),
            ("ROUTe:OPEN", lambda a: self.switch(a, False)),
        ]
        self.queries = [
            ("*IDN", lambda a: self.identity),
            ("*OPC", lambda a: "1"),
            ("*ESR", lambda a: self.take_events()),
            ("*STB", lambda a: "4" if self.errors else "0"),
            ("*TST", lambda a: "0"),
            ("SYSTem:ERRor[:NEXT]", lambda a: self.next_error()),
            ("SYSTem:VERSion", lambda a: "1999.0"),
            ("READ", lambda a: self.reading()),
            ("FETCh", lambda a: self.reading()),
            ("CONFigure", lambda a: f'"{self.function}"'),
            ("[SENSe:]FUNCtion[:ON]", lambda a: f'"{self.function}"'),
            ("ROUTe:CLOSe", lambda a: self.state(a, True)),
            ("ROUTe:OPEN", lambda a: self.state(a, False)),
        ]
        for name, header in FUNCTIONS.items():
            self.commands.append(
                ("CONFigure[:SCALar]:" + header, lambda a, n=name: self.configure(n, a))
            )
            self.commands.append(
                ("[SENSe:]" + header + ":RANGe[:UPPer]", lambda a, n=name: self.set_range(n, a))
            )
            self.queries.append(
                ("[SENSe:]" + header + ":RANGe[:UPPer]", lambda a, n=name: self.nr3(self.ranges[n]))
            )
            self.queries.append(
                ("MEASure[:SCALar]:" + header, lambda a, n=name: self.measure(n, a))
            )
        self.commands = [(pattern_of(h), f) for h, f in self.commands]
        self.queries = [(pattern_of(h), f) for h, f in self.queries]

    def reset(self):
        self.function = "VOLT:DC"
        self.ranges = {name: 1000.0 for name in FUNCTIONS}
        self.open_all()

    # Error queue and event register -------------------------------------------------------------

    def event(self, bit):
        self.events |= 1 << bit

    def take_events(self):
        events, self.events = self.events, 0
        return str(events)

    def clear(self, argument):
        self.errors.clear()
        self.events = 0

    def report(self, code, text):
        """Oldest first; when full the newest is replaced by -350 (SCPI-1999 Volume 2, 21.8.1)."""
        self.event({1: 5, 2: 4, 3: 3, 4: 2}.get(-code // 100, 3))
        if len(self.errors) < QUEUE_LENGTH:
            self.errors.append((code, text))
        else:
            self.errors[-1] = (-350, "Queue overflow")

    def next_error(self):
        code, text = self.errors.pop(0) if self.errors else (0, "No error")
        return f'{code:+d},"{text}"' if code else '0,"No error"'

    # Meter --------------------------------------------------------------------------------------

    @staticmethod
    def nr3(value):
        """IEEE 488.2, 8.7.4: digits, point, digits, E, sign, digits."""
        return f"{value:+.8E}"

    @staticmethod
    def number(text):
        words = {"MIN": 0.1, "MINIMUM": 0.1, "MAX": 1e3, "MAXIMUM": 1e3, "DEF": 1e3, "AUTO": 1e3}
        if text.upper() in words:
            return words[text.upper()]
        if not re.match(r"^[+-]?(\d+\.?\d*|\.\d+)(\s*[eE][+-]?\d+)?$", text):
            raise ScpiError(-104, "Data type error")
        return float(text.replace(" ", ""))

    def configure(self, name, argument):
        self.function = name
        if argument:
            self.set_range(name, argument.split(",")[0].strip())

    def set_range(self, name, argument):
        if not argument:
            raise ScpiError(-109, "Missing parameter")
        wanted = self.number(argument)
        if not 0 <= wanted <= 1e9:
            raise ScpiError(-222, "Data out of range")
        self.ranges[name] = wanted

    def choose(self, argument):
        name = argument.strip("\"'").upper()
        for known, header in FUNCTIONS.items():
            if pattern_of(header).match(name):
                self.function = known
                return
        raise ScpiError(-224, "Illegal parameter value")

    def measure(self, name, argument):
        self.configure(name, argument)
        return self.reading()

    def reading(self):
        value = self.values.get(self.function)
        if value is None:
            return self.nr3(NOT_A_NUMBER)
        if abs(value) > 1.2 * self.ranges[self.function]:
            return self.nr3(OVERLOAD if value > 0 else -OVERLOAD)
        return self.nr3(value)

    # Relay card ---------------------------------------------------------------------------------

    @staticmethod
    def list_of(argument):
        found = re.match(r"^\(@([\d:,\s]+)\)$", argument)
        if not found:
            raise ScpiError(-171, "Invalid expression")
        channels = []
        for part in found.group(1).split(","):
            ends = [int(end) for end in part.split(":")]
            channels.extend(range(ends[0], ends[-1] + 1))
        for channel in channels:
            if not 101 <= channel <= 116:
                raise ScpiError(-222, "Data out of range")
        return channels

    def move(self, channel, closed):
        closed = self.stuck.get(channel, closed)
        (self.channels.add if closed else self.channels.discard)(channel)

    def switch(self, argument, closed):
        for channel in self.list_of(argument):
            self.move(channel, closed)

    def open_all(self):
        for channel in range(101, 117):
            self.move(channel, False)

    def state(self, argument, closed):
        return ",".join(
            "1" if (channel in self.channels) == closed else "0"
            for channel in self.list_of(argument)
        )

    # Messages -----------------------------------------------------------------------------------

    def message(self, text):
        """One program message; the response message, or None (IEEE 488.2, 7.3 and 8.3)."""
        with self.lock:
            self.log.append(text)
            answers = []
            for position, unit in enumerate(text.split(";")):
                unit = unit.strip()
                if not unit:
                    continue
                if position and unit[0] not in ":*":
                    # A header relative to the one before; this instrument has none such.
                    self.report(-113, "Undefined header")
                    continue
                header, _, argument = unit.partition(" ")
                table = self.queries if header.endswith("?") else self.commands
                try:
                    for known, function in table:
                        if known.match(header.rstrip("?")):
                            answer = function(argument.strip())
                            break
                    else:
                        raise ScpiError(-113, "Undefined header")
                    if header.endswith("?"):
                        answers.append(answer)
                except ScpiError as error:
                    self.report(error.code, error.text)
            return ";".join(answers) if answers else None

    def obey(self, order):
        with self.lock:
            if "values" in order:
                self.values.update(order["values"])
            elif "identity" in order:
                self.identity = order["identity"]
            elif "channels" in order:
                return json.dumps(sorted(self.channels))
            elif "stuck" in order:
                self.stuck = {int(c): s for c, s in order["stuck"].items()}
                for channel, closed in self.stuck.items():
                    self.move(channel, closed)
            elif "log" in order:
                log, self.log = self.log, []
                return json.dumps(log)
            elif "error" in order:
                self.report(*order["error"])
            elif "fault" in order:
                self.fault = {"skip": 0, "count": 1, "seconds": 0.0, **order}
            else:
                return "what?"
            return "ok"

    def fate(self):
        """What befalls the next reply."""
        with self.lock:
            fault = self.fault
            if fault["fault"] == "none" or fault["count"] <= 0:
                return "none", 0.0
            if fault["skip"] > 0:
                fault["skip"] -= 1
                return "none", 0.0
            fault["count"] -= 1
            return fault["fault"], fault["seconds"]


def pattern_of(header):
    if header.startswith("*"):
        return re.compile("^" + re.escape(header) + "$", re.IGNORECASE)
    return pattern(header)


def serve(instrument, receive, send, terminator):
    """Messages end with NL; a CR before it is white space (IEEE 488.2, 7.5 and 7.4.1.2)."""
    held = b""
    while True:
        data = receive()
        if not data:
            return
        held += data
        while b"\n" in held:
            line, held = held.split(b"\n", 1)
            answer = instrument.message(line.decode("ascii", "replace").strip())
            if answer is None:
                continue
            reply(answer.encode("ascii") + terminator, send, *instrument.fate())


def reply(data, send, fault, seconds):
    if fault == "none":
        send(data)
    elif fault == "half":
        send(data[: len(data) // 2])
    elif fault == "garbled":
        body = data.rstrip(b"\r\n")
        send(bytes(0x21 + (b * 7) % 0x5D for b in body) + data[len(body):])
    elif fault == "late":
        timer = threading.Timer(seconds, send, [data])
        timer.daemon = True
        timer.start()
    elif fault == "slow":
        for byte in data:
            send(bytes([byte]))
            time.sleep(seconds / len(data))


def serve_pty(instrument, path, terminator):
    handle = os.open(path, os.O_RDWR | os.O_NOCTTY)
    tty.setraw(handle, termios.TCSANOW)
    print("ready")

    def receive():
        try:
            return os.read(handle, 4096)
        except OSError:
            return b""

    serve(instrument, receive, lambda data: os.write(handle, data), terminator)


def serve_tcp(instrument, terminator):
    door = socket.create_server(("127.0.0.1", 0))
    instrument.port = door.getsockname()[1]
    print("ready")
    while True:
        guest, _ = door.accept()
        guest.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        instrument.guest = guest
        try:
            serve(instrument, lambda: guest.recv(4096), guest.sendall, terminator)
        except OSError:
            pass
        finally:
            guest.close()


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--pty")
    options.add_argument("--tcp", action="store_true")
    options.add_argument("--identity", default="Linnet,Bench meter,0001,1.0")
    options.add_argument("--terminator", default="lf", choices=["lf", "crlf"])
    given = options.parse_args()
    terminator = {"lf": b"\n", "crlf": b"\r\n"}[given.terminator]
    instrument = Instrument(given.identity)
    if given.tcp:
        work = lambda: serve_tcp(instrument, terminator)
    else:
        work = lambda: serve_pty(instrument, given.pty, terminator)
    threading.Thread(target=work, daemon=True).start()
    for line in sys.stdin:
        order = json.loads(line)
        if "port" in order:
            print(instrument.port)
        elif "drop" in order:
            instrument.guest.shutdown(socket.SHUT_RDWR)
            print("ok")
        else:
            print(instrument.obey(order))


main()

"""A Modbus RTU slave on a serial port, for tests. The protocol is pymodbus's; nothing of ours.

Orders on standard input, one JSON object a line, each answered by one line:
  {"coils": 8}                        -> the first 8 coils, such as [0,1,0,0,0,0,0,0]
  {"set": [0, 1]}                     -> puts coils from 0 on; "ok"
  {"stuck": {"4": 0}}                 -> coils that stay so from now on, whatever is written; "ok"
  {"refuse": [4]}                     -> coils that cannot be written from now on; "ok"
  {"history": true}                   -> every state of all coils since the start, oldest first
  {"refreshed": true}                 -> how often the watchdog's register was written
  {"wiring": [[[0, 2], ["program", "argument"]], ...]} -> "ok"
                                         what the contacts do: of the rows whose coils are all on the
                                         last one's program is run before the reply to what moved them,
                                         and at once; not again while the row stays the same
  {"fault": "crc"|"silent"|"half"|"late"|"none", "skip": n, "count": n, "seconds": s, "to": [n]} -> "ok"
                                         befalls replies, on the wire, after pymodbus made them; with
                                         "to" only those to requests with these function codes

With --watchdog REGISTER its holding registers have a watchdog: a value written there, in tenths of
a second, is how long all coils stay as they are from then on; when it is over they go off.
"""
import argparse
import asyncio
import json
import subprocess
import sys

try:
    from pymodbus.datastore import (
        ModbusSequentialDataBlock,
        ModbusServerContext,
        ModbusSlaveContext,
    )
    from pymodbus.server.async_io import ModbusSerialServer, ModbusSingleRequestHandler
    from pymodbus.transaction import ModbusRtuFramer
except ImportError as problem:
    print(f"missing: {problem}")
    sys.exit(1)

FAULT = {"fault": "none", "skip": 0, "count": 0, "seconds": 0.0, "to": []}
COILS = 1  # any coil function code; names the table


class Coils(ModbusSequentialDataBlock):
    """Remembers every state, also one that nobody looked at while it lasted."""

    def __init__(self, count):
        super().__init__(0, [False] * count)
        self.history = [[0] * count]
        self.wiring = []
        self.row = None
        self.stuck = {}

    def setValues(self, address, values):
        kept = [self.stuck.get(address + i, value) for i, value in enumerate(values)]
        super().setValues(address, kept)
        now = [int(c) for c in self.values]
        if now != self.history[-1]:
            self.history.append(now)
            self.move(now)

    def move(self, now):
        rows = [row for row in self.wiring if all(now[coil] for coil in row[0])]
        if rows and rows[-1] is not self.row:
            self.row = rows[-1]
            subprocess.run(self.row[1], check=True, timeout=10, stdin=subprocess.DEVNULL)


class Tables(ModbusSlaveContext):
    """Refuses to write some coils, as a board with fewer relays does.

    The reply to a write of one coil repeats what was asked for, also if its relay is stuck.
    """

    WRITE_COIL = 5
    refused = set()
    asked = [False]

    def setValues(self, fc_as_hex, address, values):
        self.asked = list(values)
        super().setValues(fc_as_hex, address, values)

    def getValues(self, fc_as_hex, address, count=1):
        if fc_as_hex == self.WRITE_COIL:
            return self.asked
        return super().getValues(fc_as_hex, address, count)

    def validate(self, fc_as_hex, address, count=1):
        written = range(address, address + count) if fc_as_hex in (5, 15) else ()
        good = super().validate(fc_as_hex, address, count)
        return good and not self.refused.intersection(written)


class Watchdog(ModbusSequentialDataBlock):
    """Holding registers of which one keeps the coils on for as long as it says."""

    def __init__(self, register, coils):
        super().__init__(0, [0] * (register + 1))
        self.register = register
        self.coils = coils
        self.refreshed = 0
        self.timer = None

    def setValues(self, address, values):
        super().setValues(address, values)
        if not address <= self.register < address + len(values):
            return
        self.refreshed += 1
        if self.timer:
            self.timer.cancel()
        seconds = values[self.register - address] / 10
        if seconds > 0:
            self.timer = asyncio.get_running_loop().call_later(seconds, self.bite)

    def bite(self):
        self.coils.setValues(0, [False] * len(self.coils.values))


class Handler(ModbusSingleRequestHandler):
    def _send_(self, data):
        if FAULT["count"] <= 0 or (FAULT["to"] and data[1] not in FAULT["to"]):
            return super()._send_(data)
        if FAULT["skip"] > 0:
            FAULT["skip"] -= 1
            return super()._send_(data)
        FAULT["count"] -= 1
        fault = FAULT["fault"]
        if fault == "crc":
            super()._send_(data[:-1] + bytes([data[-1] ^ 0x01]))
        elif fault == "half":
            super()._send_(data[: len(data) // 2])
        elif fault == "late":
            asyncio.get_running_loop().call_later(
                FAULT["seconds"], lambda: ModbusSingleRequestHandler._send_(self, data)
            )


def obey(order, table, coils, dog):
    if "refreshed" in order:
        return json.dumps(dog.refreshed if dog else 0)
    if "history" in order:
        return json.dumps(coils.history)
    if "stuck" in order:
        coils.stuck = {int(c): bool(state) for c, state in order["stuck"].items()}
        for coil, state in coils.stuck.items():
            coils.setValues(coil, [state])
        return "ok"
    if "refuse" in order:
        table.refused = set(order["refuse"])
        return "ok"
    if "wiring" in order:
        coils.wiring = order["wiring"]
        coils.move(coils.history[-1])
        return "ok"
    if "coils" in order:
        return json.dumps([int(c) for c in table.getValues(COILS, 0, order["coils"])])
    if "set" in order:
        table.setValues(COILS, 0, [bool(c) for c in order["set"]])
        return "ok"
    if "fault" in order:
        FAULT.update({"skip": 0, "count": 1, "seconds": 0.0, "to": []})
        FAULT.update(order)
        if order["fault"] == "none":
            FAULT["count"] = 0
        return "ok"
    return "what?"


async def main():
    options = argparse.ArgumentParser()
    options.add_argument("--port", required=True)
    options.add_argument("--unit", type=int, default=1)
    options.add_argument("--coils", type=int, default=16)
    options.add_argument("--watchdog", type=int, default=None)
    options.add_argument("--baud", type=int, default=19200)
    given = options.parse_args()
    coils = Coils(given.coils)
    dog = None if given.watchdog is None else Watchdog(given.watchdog, coils)
    registers = {} if dog is None else {"hr": dog}
    table = Tables(co=coils, zero_mode=True, **registers)
    server = ModbusSerialServer(
        ModbusServerContext(slaves={given.unit: table}, single=False),
        framer=ModbusRtuFramer,
        port=given.port,
        baudrate=given.baud,
        timeout=1,
        handler=Handler,
        ignore_missing_slaves=True,
    )
    await server.start()
    if server.transport is None:
        print("cannot open " + given.port)
        return
    print("ready")
    loop = asyncio.get_running_loop()
    while True:
        line = await loop.run_in_executor(None, sys.stdin.readline)
        if not line:
            return
        print(obey(json.loads(line), table, coils, dog))


asyncio.run(main())

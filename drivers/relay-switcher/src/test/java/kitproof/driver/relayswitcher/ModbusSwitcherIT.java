package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.Switcher;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.SwitcherContract;
import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A slave that is not ours (pymodbus) over pseudo-terminals; coils read back on its own side. */
@Timeout(120)
class ModbusSwitcherIT extends SwitcherContract {
  private PtyPair cable;
  private ModbusSlave slave;

  @BeforeEach
  void plugIn() {
    cable = PtyPair.open();
    slave = ModbusSlave.on(cable.far());
  }

  @AfterEach
  void tidy() {
    slave.close();
    cable.close();
  }

  private Switcher open(Object... more) throws InstrumentException {
    Map<String, Object> settings =
        Nodes.map(
            "line",
            cable.near(),
            "protocol",
            "modbus-rtu",
            "baud",
            19_200,
            "relays",
            Nodes.map("K1", 0, "K2", 1, "K3", 2, "K4", 12));
    settings.putAll(Nodes.map(more));
    return Benches.open(settings);
  }

  @Override
  public Switcher open() throws InstrumentException {
    return open(new Object[0]);
  }

  @Override
  public Set<String> energisedAtTheFarSide() {
    Map<Integer, String> names = Map.of(0, "K1", 1, "K2", 2, "K3", 12, "K4");
    Set<String> on = new TreeSet<>();
    slave.coilsOn().forEach(coil -> on.add(names.getOrDefault(coil, "coil " + coil)));
    return on;
  }

  @Test
  void relaysLeftOnByALostRunAreReleasedOnOpening() throws Exception {
    slave.put(0, true);
    slave.put(12, true);
    try (Switcher switcher = open()) {
      assertThat(slave.coilsOn()).isEmpty();
      assertThat(switcher.closed()).isEmpty();
    }
  }

  @Test
  void aBoardsWatchdogIsRefreshedForAsLongAsItIsOpenAndFallsAfterwards() throws Exception {
    slave.close();
    slave = ModbusSlave.withWatchdog(cable.far(), 16);
    Switcher switcher = open("watchdog", Nodes.map("register", 16, "value", 15, "every", "100 ms"));
    try (switcher) {
      switcher.select("a");
      int before = slave.refreshed();
      await(() -> slave.refreshed() >= before + 20); // longer than the watchdog would wait
      assertThat(switcher.closed()).contains("a");
      assertThat(slave.coilsOn()).isNotEmpty();
    }
    int after = slave.refreshed();
    slave.put(0, true);
    await(() -> slave.coilsOn().isEmpty());
    assertThat(slave.refreshed()).as("no more once it is closed").isEqualTo(after);
  }

  private static void await(BooleanSupplier enough) {
    long end = System.nanoTime() + 30_000_000_000L;
    while (!enough.getAsBoolean()) {
      assertThat(System.nanoTime()).as("within 30 s").isLessThan(end);
      LockSupport.parkNanos(20_000_000);
    }
  }

  @Test
  void aBoardWithoutThatRegisterIsRefusedBeforeAnythingIsSwitched() {
    slave.close();
    slave = ModbusSlave.withWatchdog(cable.far(), 16);
    assertThat(
            assertFails(
                Kind.PROTOCOL,
                () -> open("watchdog", Nodes.map("register", 999, "value", 1)).close()))
        .hasMessageContaining("exception 2, ILLEGAL DATA ADDRESS");
    assertThat(slave.history()).hasSize(1);
  }

  @Test
  void aRelayThatMovedByItselfIsReadBackAsItIs() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select("a");
      slave.put(0, false);
      assertThat(switcher.closed()).isEmpty();
    }
  }

  @Test
  void aWrongUnitAddressIsSilentAndATimeout() {
    assertThat(assertFails(Kind.TIMEOUT, () -> open("unit", 9, "timeout", "200 ms").close()))
        .hasMessageContaining("Modbus unit 9");
  }

  @Test
  void aCoilThatTheBoardHasNotIsRefusedByName() {
    assertThat(
            assertFails(
                Kind.PROTOCOL,
                () -> open("relays", Nodes.map("K1", 0, "K2", 1, "K3", 2, "K4", 400)).close()))
        .hasMessageContaining("exception 2, ILLEGAL DATA ADDRESS");
    assertThat(slave.coilsOn()).isEmpty();
  }

  @Test
  void wrongCrcHalfMissingAndLateRepliesAreToldApartAndTheNextAnswerIsRight() throws Exception {
    try (Switcher switcher = open("timeout", "700 ms")) {
      switcher.select("a");
      slave.failOnce(ModbusSlave.Fault.CRC, 0);
      assertThat(switcher.closed()).as("one lost reply is asked for again").containsExactly("a");
      Object[][] faults = {
        {ModbusSlave.Fault.CRC, Kind.PROTOCOL},
        {ModbusSlave.Fault.HALF, Kind.TIMEOUT},
        {ModbusSlave.Fault.SILENT, Kind.TIMEOUT},
        {ModbusSlave.Fault.LATE, Kind.TIMEOUT}
      };
      boolean on = true;
      for (Object[] fault : faults) {
        slave.failOnce((ModbusSlave.Fault) fault[0], 0);
        assertFails((Kind) fault[1], switcher::closed);
        on = !on;
        slave.put(0, on);
        assertThat(switcher.closed())
            .as("after " + fault[0])
            .isEqualTo(on ? Set.of("a") : Set.of());
      }
    }
  }

  @Test
  void aFailureOfAnySingleReplyLeavesEverythingOpenWhenMadeSafe() throws Exception {
    try (Switcher switcher = open("timeout", "200 ms")) {
      for (int skip = 0; skip < 6; skip++) {
        slave.failOnce(ModbusSlave.Fault.CRC, skip);
        try {
          switcher.select("a");
          switcher.select("c");
        } catch (InstrumentException e) {
          assertThat(e.kind()).isEqualTo(Kind.PROTOCOL);
        }
        slave.failOnce(ModbusSlave.Fault.NONE, 0);
        switcher.makeSafe();
        assertThat(slave.coilsOn()).isEmpty();
      }
    }
  }

  @Test
  void unpluggingIsUnreachableAndPluggingInAgainIsEnough() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select("a");
      cable.unplug();
      assertFails(Kind.UNREACHABLE, switcher::closed);
      assertFails(Kind.UNREACHABLE, switcher::makeSafe);
      slave.close();
      cable.plug();
      slave = ModbusSlave.on(cable.far());
      assertThat(switcher.closed()).as("this board has lost its supply too").isEmpty();
      switcher.select("b");
      assertThat(slave.coilsOn()).containsExactly(1);
      switcher.makeSafe();
      assertThat(slave.coilsOn()).isEmpty();
    }
  }
}

package kitproof.plan;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** A bench file as it is written. */
public record BenchDocument(
    @Meaning("the bench's name") String bench,
    @Meaning("the shop, as it is published") @Initially("shop") String shop,
    @Meaning("the station, as it is published") @Initially("bench-1") String station,
    @Meaning("whether time is real or simulated") @Initially("real") TimeKind time,
    @Meaning("the load on every output, as measured, of a bench that does not switch loads")
        @In(Unit.OHM)
        @Nullable Quantity fixedLoad,
    @Meaning("the power that each fixed load stands for ever; without it heat is not reckoned")
        @In(Unit.WATT)
        @Bounds(low = 0.001)
        @Nullable Quantity fixedLoadRating,
    @Meaning("the time over which the heat of a fixed load averages")
        @Initially("60 s")
        @Bounds(low = 1)
        Duration fixedLoadRatingTime,
    @Meaning(
            "the most that a fixed load changes with the room's temperature, per kelvin; then results"
                + " that rest on it need \"room temperature\" in the run and in the calibration")
        @In(Unit.PERCENT)
        @Bounds(low = 0, high = 1)
        @Nullable Quantity fixedLoadPerKelvin,
    @Meaning("what the station itself adds to a capture, so that a figure it limits says so")
        @Nullable ResidualEntry residual,
    @Meaning("that runs need a check of the station which is not too old, and what it checks")
        @Nullable SelfcheckEntry selfcheck,
    @Meaning("the instruments, by the role they play in plans") Map<String, Role> roles) {

  /** The check of the station itself. */
  public record SelfcheckEntry(
      @Meaning("serial number of the check standard, the unit of such runs") String checkStandard,
      @Meaning("for how many hours a check holds; 24 is daily")
          @Initially("24")
          @Bounds(low = 1, high = 8784)
          double hours) {}

  /** One instrument. */
  public record Role(
      @Meaning("the driver's id") String driver,
      @Meaning("what kind of instrument it is: meter, switcher, audio-interface")
          InstrumentKind kind,
      @Meaning("the driver's own settings") @Nullable Node settings,
      @Meaning("named routes of a switcher") @Nullable Map<String, RouteEntry> routes) {}

  /** One route. */
  public record RouteEntry(
      @Meaning("routes of one group exclude each other") String group,
      @Meaning("what it does to the unit") @Initially("other") Route.Purpose purpose,
      @Meaning("the relays that are energised") @Nullable List<String> relays,
      @Meaning("until the contacts are quiet") @Initially("20 ms") @Bounds(low = 0, high = 1)
          Duration settle,
      @Meaning("the conditions under which a step wants it") @Nullable Conditions when,
      @Meaning("the resistance it connects, as measured") @In(Unit.OHM) @Nullable Quantity load,
      @Meaning(
              "the most that what it connects changes with the room's temperature, per kelvin; then results"
                  + " that rest on it need \"room temperature\" in the run and in the calibration")
          @In(Unit.PERCENT)
          @Bounds(low = 0, high = 1)
          @Nullable Quantity loadPerKelvin,
      @Meaning("of an input range: rms of a sine at the inputs that just reaches full scale")
          @In(Unit.VOLT)
          @Nullable Quantity fullScale,
      @Meaning("the power that the load stands for ever; without it heat is not reckoned")
          @In(Unit.WATT)
          @Bounds(low = 0.001)
          @Nullable Quantity rating,
      @Meaning("the resistor that takes the heat, where several load routes lead to the same one")
          @Nullable String resistor,
      @Meaning("the time over which its heat averages") @Initially("60 s") @Bounds(low = 1)
          Duration ratingTime) {}

  /** What the station adds by itself. */
  public record ResidualEntry(
      @Meaning("thd of the interface, output on input, near full scale")
          @In(Unit.DECIBEL)
          @Bounds(high = 0)
          Quantity thd,
      @Meaning("noise of an input from 20 Hz to 20 kHz, relative to its full scale")
          @In(Unit.DECIBEL)
          @Bounds(high = 0)
          Quantity inputNoise,
      @Meaning("noise of an output from 20 Hz to 20 kHz, relative to its full scale")
          @In(Unit.DECIBEL)
          @Bounds(high = 0)
          Quantity outputNoise,
      @Meaning("single lines that the interface shows without a unit, which are not the unit's")
          @Initially("[]")
          List<SpurEntry> spurs) {}

  /** A single line of the interface's own. */
  public record SpurEntry(
      @Meaning("where it lies") @In(Unit.HERTZ) @Bounds(low = 1) Quantity at,
      @Meaning("its level relative to an input's full scale, if it is the inputs'")
          @In(Unit.DECIBEL)
          @Bounds(high = -20)
          @Nullable Quantity input,
      @Meaning("its level relative to an output's full scale, if it is the outputs'")
          @In(Unit.DECIBEL)
          @Bounds(high = -20)
          @Nullable Quantity output) {
    public SpurEntry {
      if (input == null && output == null) {
        throw new IllegalArgumentException("a level under \"input\" or \"output\"");
      }
    }
  }
}

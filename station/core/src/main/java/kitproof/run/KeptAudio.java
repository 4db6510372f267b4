package kitproof.run;

import java.util.HashMap;
import java.util.Map;
import java.util.function.Function;
import java.util.function.Supplier;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.event.CaptureShelf;
import kitproof.value.Quantity;
import kitproof.value.Signal;

/** An audio interface whose captures are put on a shelf as they come, uncorrected. */
final class KeptAudio extends PassedOnAudio {
  private final StepInstruments.Shelf shelf;
  private final String role;
  private final Function<AudioPorts, Map<String, Quantity>> loads;
  private final Supplier<String> range;
  private final Notice notice;

  /** Tells the operator. */
  interface Notice {
    void tell(String text) throws InstrumentException;
  }

  /**
   * Over an interface.
   *
   * @param role the interface's
   * @param loads of the moment by channel
   * @param range the input range of the moment
   * @param notice tells the operator
   */
  KeptAudio(
      AudioInterface audio,
      StepInstruments.Shelf shelf,
      String role,
      Function<AudioPorts, Map<String, Quantity>> loads,
      Supplier<String> range,
      Notice notice) {
    super(audio);
    this.shelf = shelf;
    this.role = role;
    this.loads = loads;
    this.range = range;
    this.notice = notice;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    Capture capture = beneath().exchange(stimulus);
    String trouble =
        shelf
            .captures()
            .put(
                new CaptureShelf.Taken(
                    shelf.index(),
                    shelf.step(),
                    role,
                    ports(),
                    loads.apply(ports()),
                    range.get(),
                    capture,
                    drives(ports(), stimulus)));
    if (!trouble.isEmpty()) {
      notice.tell(trouble);
    }
    return capture;
  }

  private static Map<String, Double> drives(AudioPorts ports, Signal stimulus) {
    Map<String, Double> drives = new HashMap<>();
    for (int c = 0; c < stimulus.channels(); c++) {
      double peak = 0;
      for (int i = 0; i < stimulus.length(); i++) {
        peak = Math.max(peak, Math.abs(stimulus.at(c, i)));
      }
      drives.put(ports.outputs().get(c).name(), peak);
    }
    return drives;
  }
}

package kitproof.event;

import java.util.List;
import java.util.Map;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.value.Quantity;

/** Where the captures of one run are put; what is kept of them in the end, the verdict decides. */
public interface CaptureShelf {
  /** Keeps nothing. */
  CaptureShelf NONE =
      new CaptureShelf() {
        @Override
        public String put(Taken taken) {
          return "";
        }

        @Override
        public List<Event.CaptureKept> keep(Verdict verdict) {
          return List.of();
        }
      };

  /**
   * One capture as it came from the interface, before anything is corrected or made of it.
   *
   * @param index the step it was taken in
   * @param step its name
   * @param role of the interface
   * @param ports of the interface
   * @param loads on the outputs by channel; under the empty name the one that is meant if no
   *     channel is named
   * @param range the input range that is selected; empty on a bench without
   * @param drives peak volts that the interface was asked to play, by output
   */
  record Taken(
      int index,
      String step,
      String role,
      AudioPorts ports,
      Map<String, Quantity> loads,
      String range,
      Capture capture,
      Map<String, Double> drives) {
    public Taken {
      drives = Map.copyOf(drives);
      loads = Map.copyOf(loads);
    }
  }

  /**
   * Puts one there. It cannot fail the run: what goes wrong is told.
   *
   * @return what the operator should know; empty if there is nothing
   */
  String put(Taken taken);

  /**
   * Makes durable what is to be kept and removes the rest; called once, at the end of the run.
   *
   * @return what goes on record, in order
   */
  List<Event.CaptureKept> keep(Verdict verdict);
}

package kitproof.run;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import kitproof.calibration.Calibration;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.plan.Bench;
import kitproof.plan.PlanStep;
import kitproof.procedure.Procedure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Steps done again on captures that were kept, by the same procedures as on the bench: no
 * instrument is touched, and what comes out is what came out then, as long as procedure and
 * settings are the same.
 */
public final class Replay {
  private Replay() {}

  /** Reads a capture back. */
  public interface Reader {
    Capture read() throws IOException;
  }

  /**
   * A capture that was kept.
   *
   * @param role of the interface
   * @param ports of the interface
   * @param loads on the outputs by channel
   * @param range the input range that it was taken in; empty on a bench without
   * @param corrections the calibration that it is to be corrected by, or null if by none
   */
  public record Kept(
      String role,
      AudioPorts ports,
      Map<String, Quantity> loads,
      String range,
      @Nullable Calibration corrections,
      Reader reader) {
    public Kept {
      loads = Map.copyOf(loads);
    }
  }

  /**
   * Measures a step again.
   *
   * @param bench the bench of the run, for its input ranges and its own residual
   * @param earlier what the run had measured before
   * @param captures those of the step, in the order in which they were taken
   * @throws InstrumentException if the captures are not enough for it, or not those of this step
   */
  public static List<Measurement> measure(
      PlanStep step, Bench bench, List<Measurement> earlier, List<Kept> captures)
      throws InstrumentException, InterruptedException {
    ReplayBench replay = new ReplayBench(step.conditions(), bench, earlier, captures);
    List<Measurement> measured = measure(step.procedure(), step.settings(), replay);
    replay.requireAllUsed();
    return measured;
  }

  private static <S extends Record> List<Measurement> measure(
      Procedure<S> procedure, Record settings, ReplayBench bench)
      throws InstrumentException, InterruptedException {
    return procedure.measure(procedure.settings().cast(settings), bench);
  }
}

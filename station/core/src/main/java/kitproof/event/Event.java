package kitproof.event;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Something that happened in a run. Records only, immutable, complete in themselves. */
public sealed interface Event {
  /**
   * A run began; nothing has been touched yet.
   *
   * @param run the run's name, unique, sorts by time: "20261125T101500.123Z-LN12-001"
   * @param shop as on the wire
   * @param station as on the wire
   * @param unit serial number
   * @param batch empty if none
   * @param product what the unit is an example of
   * @param revision of the product
   * @param plan the plan's name
   * @param digests file role (plan, bench, limits) to "sha256:…"
   * @param steps the steps to come, in order, repetition over conditions written out
   */
  record RunStarted(
      String run,
      String shop,
      String station,
      String unit,
      String batch,
      String product,
      String revision,
      String plan,
      Map<String, String> digests,
      List<PlannedStep> steps)
      implements Event {
    public RunStarted {
      digests = Map.copyOf(digests);
      steps = List.copyOf(steps);
    }
  }

  /**
   * How the bench stands to its calibration.
   *
   * @param calibrated false where nothing is known of how far its figures are from the truth; true
   *     too of a simulated bench that is taken as exact
   * @param told in words: "calibrated on 2026-11-26, holds until 2027-11-26"; "UNCALIBRATED: …";
   *     "simulated bench, taken as exact"
   * @param certificates of the instruments, a line each: "hv-meter: C-17 of A Laboratory, until …"
   */
  record CalibrationTold(boolean calibrated, String told, List<String> certificates)
      implements Event {
    /** The word for a bench whose figures are not known to any accuracy. */
    public static final String UNCALIBRATED = "UNCALIBRATED";

    public CalibrationTold {
      certificates = List.copyOf(certificates);
    }
  }

  /**
   * A step to come.
   *
   * @param step its name
   * @param conditions what it will hold under
   * @param expected bench time it should take, for a progress display
   */
  record PlannedStep(String step, Conditions conditions, Duration expected) {}

  /**
   * The unit has been tested before: there are attempts at it among the records.
   *
   * @param attempt which one this is, from 2
   * @param before the attempt before this one
   * @param verdict how that ended
   */
  record Retest(int attempt, String before, Verdict verdict) implements Event {}

  /**
   * The run is a trial of a gauge study: it asks what the station makes of a unit that is known, is
   * no attempt of the unit and counts in no yield.
   *
   * @param study its name
   * @param number place in the study's order, from 1
   * @param of how many trials the study has
   * @param appraiser who or what is compared: a person, a reload of the bench
   * @param repeat which one by this appraiser of this unit, from 1
   * @param label what the unit is called where its serial number is hidden; empty if it is not
   */
  record GaugeTrial(String study, int number, int of, String appraiser, int repeat, String label)
      implements Event {}

  /**
   * The bench's instruments answered.
   *
   * @param instruments role to identity, as the instruments say themselves
   */
  record BenchOpened(Map<String, String> instruments) implements Event {
    public BenchOpened {
      instruments = Map.copyOf(instruments);
    }
  }

  /**
   * A step began.
   *
   * @param index place in {@link RunStarted#steps}, from 0
   */
  record StepStarted(int index, String step, String procedure, Conditions conditions)
      implements Event {}

  /**
   * A result was measured and judged.
   *
   * @param index the step it belongs to
   */
  record ResultJudged(int index, Measurement measurement, Judgement judgement) implements Event {}

  /**
   * A step ended.
   *
   * @param reason empty if there is nothing to say
   * @param took bench time
   */
  record StepFinished(
      int index,
      String step,
      Conditions conditions,
      StepOutcome outcome,
      String reason,
      Duration took)
      implements Event {}

  /**
   * Told before the end of a step that was left out, for a reason that its end tells.
   *
   * @param index the step
   * @param results what it would have yielded
   */
  record ResultsLeftOut(int index, List<Awaited> results) implements Event {
    public ResultsLeftOut {
      results = List.copyOf(results);
    }
  }

  /** A result that a step is there for. */
  record Awaited(String name, Conditions conditions) {}

  /**
   * The safe state was commanded: drive muted, then mains off, loads on.
   *
   * @param cause why
   * @param confirmed whether the relays were read back as safe
   * @param detail what went wrong if not confirmed; else empty
   */
  record SafeState(String cause, boolean confirmed, String detail) implements Event {}

  /**
   * An interlock has taken the mains away.
   *
   * @param interlock its name
   * @param reason for people, such as "hv-meter hv 455 V is above 420 V"
   * @param reading the value that caused it; null if a reading was missed
   * @param reaction bench time from the beginning of that reading until the safe state had been
   *     commanded
   */
  record InterlockTripped(
      String interlock, String reason, @Nullable Quantity reading, Duration reaction)
      implements Event {}

  /**
   * Whether the unit may be opened, from now on.
   *
   * @param safeToOpen the answer
   * @param reason what it rests on
   */
  record OpeningTold(SafeToOpen safeToOpen, String reason) implements Event {}

  /**
   * The HV rail while it is watched to fall, with the mains off and the unit not yet safe to open;
   * told at first, and whenever it has changed by a tenth.
   *
   * @param rail what its meter reads
   */
  record RailRead(Quantity rail) implements Event {}

  /**
   * The operator answered, or an adjustment was accepted.
   *
   * @param question what was asked, with its bounds
   * @param answer "done", a value, or "declined" with the reason
   */
  record OperatorAnswered(String question, String answer) implements Event {}

  /**
   * A capture is kept beside the record; told at the end of the run, in the order of taking.
   *
   * @param index the step it was taken in
   * @param role of the interface
   * @param file from the folder of records, with "/"
   * @param digest of the file, "sha256:…"
   * @param sampleRateHz of the interface
   * @param outputs name and peak voltage at full scale
   * @param inputs likewise, in the order of the file's channels; full scale of the file is that of
   *     the input
   * @param loads on the outputs by channel
   * @param range the input range that was selected; empty on a bench without
   * @param corrections digest of the calibration by which the run corrected the capture,
   *     "sha256:…", a copy of which lies beside it; empty if there is nothing to correct. The file
   *     holds what the interface gave, uncorrected
   * @param clipped whether any input reached full scale
   * @param lost whether samples are missing
   * @param drives peak volts that the interface was asked to play, by output; empty in records from
   *     before these were kept
   */
  record CaptureKept(
      int index,
      String role,
      String file,
      String digest,
      double sampleRateHz,
      List<Port> outputs,
      List<Port> inputs,
      Map<String, Quantity> loads,
      String range,
      String corrections,
      boolean clipped,
      boolean lost,
      Map<String, Double> drives)
      implements Event {
    public CaptureKept {
      outputs = List.copyOf(outputs);
      inputs = List.copyOf(inputs);
      loads = Map.copyOf(loads);
      drives = Map.copyOf(drives);
    }

    /** One of which it is not known what was played. */
    public CaptureKept(
        int index,
        String role,
        String file,
        String digest,
        double sampleRateHz,
        List<Port> outputs,
        List<Port> inputs,
        Map<String, Quantity> loads,
        String range,
        String corrections,
        boolean clipped,
        boolean lost) {
      this(
          index,
          role,
          file,
          digest,
          sampleRateHz,
          outputs,
          inputs,
          loads,
          range,
          corrections,
          clipped,
          lost,
          Map.of());
    }

    /** The same, of which this was played. */
    public CaptureKept driven(Map<String, Double> played) {
      return new CaptureKept(
          index,
          role,
          file,
          digest,
          sampleRateHz,
          outputs,
          inputs,
          loads,
          range,
          corrections,
          clipped,
          lost,
          played);
    }
  }

  /** An output or input of an interface with the peak voltage at its full scale. */
  record Port(String name, double fullScalePeakVolts) {}

  /** Something the operator should know, such as "HV rail unknown: treat as live". */
  record Notice(String text) implements Event {}

  /**
   * The run ended; always the last event.
   *
   * @param reason why, if not pass; else empty
   * @param failed titles of the failed results, in order
   */
  record RunEnded(Verdict verdict, String reason, List<String> failed) implements Event {
    public RunEnded {
      failed = List.copyOf(failed);
    }
  }
}

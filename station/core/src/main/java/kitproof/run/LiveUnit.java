package kitproof.run;

import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Whether the unit may be opened: no as soon as mains is applied, yes only once it is proved. */
final class LiveUnit {
  static final String TREAT_AS_LIVE =
      "HV rail unknown: treat the unit as live, do not open it before it has been measured";

  /** Volts; what changes less is noise to who asks whether he may touch it. */
  private static final double FINEST_CHANGE = 1;

  private final RunEvents events;
  private @Nullable SafeToOpen told;
  private double toldVolts = Double.MAX_VALUE;

  /** Whether another has moved the relays under the step that goes on. */
  private volatile boolean doubted;

  LiveUnit(RunEvents events) {
    this.events = events;
  }

  /** What anybody at the unit has to beware of now. */
  String danger(boolean mainsIsOff) {
    if (!mainsIsOff) {
      return "Mains is on and the unit holds high voltage. Touch nothing but what is asked for, with"
          + " an insulated tool and one hand.";
    }
    return told == SafeToOpen.NO || told == SafeToOpen.UNKNOWN
        ? "The unit may still hold high voltage. Touch nothing inside."
        : "Make sure by yourself that the unit is off and discharged before you touch it.";
  }

  /** What the rail holds while it is watched to fall. */
  void falling(Quantity rail) {
    double volts = Math.abs(rail.value());
    double change = Math.abs(volts - toldVolts);
    if (told != SafeToOpen.YES
        && change > Math.max(FINEST_CHANGE, Math.min(volts, toldVolts) / 10)) {
      toldVolts = volts;
      events.emit(new Event.RailRead(rail));
    }
  }

  /** Mains is about to be applied. */
  void energised() {
    toldVolts = Double.MAX_VALUE;
    tell(SafeToOpen.NO, "mains is applied; the HV rail is live");
  }

  /** From any thread: what the step that goes on reads may be another point of the unit. */
  void doubt() {
    doubted = true;
  }

  /** Another step begins, which selects for itself what it reads; returns whether it has to. */
  boolean settleDoubt() {
    boolean was = doubted;
    doubted = false;
    return was;
  }

  /** The rail has been read to be discharged. */
  void discharged(String evidence) {
    if (doubted) {
      unknown();
    } else {
      tell(SafeToOpen.YES, evidence);
    }
  }

  /** The rail could not be read to the end. */
  void unknown() {
    events.emit(new Event.Notice(TREAT_AS_LIVE));
    tell(SafeToOpen.UNKNOWN, TREAT_AS_LIVE);
  }

  /**
   * The rail reads as if it were discharged, but that is not believed.
   *
   * @param why for people
   */
  void notShown(String why) {
    String all = TREAT_AS_LIVE + ": " + why;
    events.emit(new Event.Notice(all));
    tell(SafeToOpen.UNKNOWN, all);
  }

  private void tell(SafeToOpen now, String reason) {
    if (now != told) {
      events.emit(new Event.OpeningTold(now, reason));
    }
    told = now;
  }
}

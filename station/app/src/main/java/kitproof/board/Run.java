package kitproof.board;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.value.Figure;
import org.jspecify.annotations.Nullable;

/** One run of one unit, as far as it has been told. */
final class Run {
  /** What a run that has not ended yet says beyond this is counted, not kept. */
  private static final int MOST_LIVE_BYTES = 4 * 1024 * 1024;

  /** At most; of most alphabets it is one. */
  private static final int BYTES_OF_A_LETTER = 2;

  final Told.Place place;
  Told.@Nullable Kind kind;
  @Nullable Instant started;
  @Nullable Instant ended;

  /** When it ended by the calendar, as the station says of a simulated bench. */
  @Nullable Instant finished;

  @Nullable Verdict verdict;
  String reason = "";
  List<String> failed = new ArrayList<>();
  List<String> notices = new ArrayList<>();
  Told.@Nullable Opening opening;

  /** Units its batch will have, as its station said; 0 if it did not. */
  int planned;

  /** Whether its bench had no calibration that holds. */
  boolean uncalibrated;

  /** Whether it is one of the station's check standard. */
  boolean check;

  /** The values of the results, as far as they are here. */
  @Nullable Brief brief;

  private List<Told.Held> live = new ArrayList<>();
  private @Nullable Details details;

  /** How many results the details have. */
  private int kept;

  /** How many results have been told that are not here. */
  int missing;

  /** Whether results may have been told before this board listened. */
  boolean partial;

  /** When this board first heard of it. */
  final Instant heard;

  /** When this board heard of its end. */
  @Nullable Instant endHeard;

  /** Whether the board has given it up. */
  boolean forgotten;

  /** Whether the station has told its verdict, after which nothing but the record comes. */
  private boolean concluded;

  /** Of what is kept of the results whole, roughly. */
  int bytes;

  /** What {@link #words()} came to last. */
  int words;

  /** The board's version when it changed last. */
  long version;

  private long lastSequence = -1;
  private String step = "";

  Run(Told.Place place, Instant heard) {
    this.place = place;
    this.heard = heard;
  }

  /**
   * When it ended by the calendar; null while it goes on. A bench's time may be ahead of the
   * calendar; nothing ends later than it is heard of.
   */
  @Nullable Instant end() {
    Instant told = finished != null ? finished : ended;
    return told != null && endHeard != null && told.isAfter(endHeard) ? endHeard : told;
  }

  /** By the calendar, the latest that is known of it: when it ended, or else when it began. */
  Instant when() {
    Instant end = end();
    return end != null ? end : started != null && started.isBefore(heard) ? started : heard;
  }

  /** Takes in an entry; false if it was told before. */
  boolean add(Told.OfEntry entry, int size, ResultKinds kinds) {
    if (concluded || entry.sequence() <= lastSequence) {
      return false;
    }
    partial |= entry.sequence() != lastSequence + 1;
    lastSequence = entry.sequence();
    Event event = entry.event();
    if (event instanceof Event.RunStarted start) {
      kind =
          new Told.Kind(
              Fields.cut(start.revision()), Fields.cut(start.batch()), Fields.cut(start.plan()));
      started = entry.time();
    } else if (event instanceof Event.StepStarted begun) {
      step = Fields.cut(begun.step());
    } else if (event instanceof Event.ResultJudged judged) {
      add(judged, size, kinds);
    } else if (event instanceof Event.OpeningTold told) {
      opening = new Told.Opening(place.unit(), told.safeToOpen(), Fields.cut(told.reason()));
    } else if (event instanceof Event.CalibrationTold told) {
      uncalibrated = !told.calibrated();
    } else if (event instanceof Event.Notice notice && notices.size() < 100) {
      notices.add(Fields.cut(notice.text()));
    } else if (event instanceof Event.InterlockTripped trip && notices.size() < 100) {
      notices.add(Fields.cut("interlock: " + trip.reason()));
    } else if (event instanceof Event.SafeState safe && !safe.confirmed() && notices.size() < 100) {
      notices.add(Fields.cut("safe state not confirmed: " + safe.detail()));
    } else if (event instanceof Event.RunEnded end) {
      reason = Fields.cut(end.reason());
      failed = Fields.cut(end.failed());
      ended = entry.time();
      verdict = end.verdict();
    }
    return true;
  }

  private void add(Event.ResultJudged judged, int size, ResultKinds kinds) {
    int room = room(judged, size);
    if (bytes + room <= MOST_LIVE_BYTES) {
      Told.Held held = new Told.Held(step, judged.measurement(), judged.judgement(), 0);
      Brief.Result result = Brief.Result.of(held); // first: it may be less sound than it looks
      if (judged.judgement().outcome().fails()) {
        failed.add(Fields.cut(judged.measurement().title()));
      }
      live.add(held);
      Brief known = brief == null ? new Brief() : brief;
      known.add(result, kinds);
      brief = known;
      bytes += room;
    } else {
      missing++;
    }
  }

  /** Bytes that a result takes once it has been read, at most: small parts grow most. */
  private static int room(Event.ResultJudged judged, int size) {
    int points = judged.measurement().figure() instanceof Figure.OfCurve of ? of.curve().size() : 0;
    return BYTES_OF_A_LETTER * size
        + 120 * judged.measurement().conditions().values().size()
        + 16 * points;
  }

  /**
   * Replaces all by what the station has told at the end; results only if it has told them.
   *
   * @return false if that was known
   */
  boolean become(Told.OfRecord record, ResultKinds kinds) {
    Details told = record.details();
    if (told == null && concluded) {
      return false;
    }
    kind = record.kind();
    started = record.started();
    ended = record.ended();
    finished = record.finished();
    verdict = record.verdict();
    reason = record.reason();
    failed = record.failed();
    notices = record.notices();
    opening = record.opening();
    planned = record.planned();
    uncalibrated = record.uncalibrated();
    check = record.check();
    partial = false;
    concluded = true;
    if (told == null) {
      missing = Math.max(0, record.count() - live.size());
      return true;
    }
    Brief values = new Brief();
    record.results().forEach(result -> values.add(result, kinds));
    brief = values.trimmed();
    live = new ArrayList<>();
    details = told;
    kept = record.results().size();
    missing = Math.max(0, record.count() - record.results().size());
    bytes = told.size();
    return true;
  }

  /** The results that are here. */
  List<Told.Held> results() {
    return details == null ? live : details.results();
  }

  /** The results of this name that are here. */
  List<Told.Held> results(String name) {
    return details == null
        ? live.stream().filter(held -> held.measurement().name().equals(name)).toList()
        : details.results(name);
  }

  /** Whether there are results whose values are not here. */
  boolean lacksValues() {
    return brief == null && missing > 0;
  }

  /** Lets go of the results, but neither of their values nor of the verdict. */
  void forgetResults() {
    missing += details == null ? live.size() : kept;
    live = new ArrayList<>();
    details = null;
    bytes = 0;
  }

  /** Lets go of the values. */
  void forgetValues() {
    brief = null;
    missing = Math.max(1, missing);
  }

  /** Lets go of all that takes room, whoever may still hold the run itself. */
  void forget() {
    forgotten = true;
    forgetResults();
    brief = null;
    failed = List.of();
    notices = List.of();
    reason = "";
    opening = null;
  }

  /** What its values take. */
  int valuesBytes() {
    return brief == null ? 0 : brief.bytes();
  }

  /** Bytes that the rest takes, roughly. */
  int words() {
    int letters =
        200
            + reason.length()
            + place.unit().length()
            + place.run().length()
            + place.shop().length()
            + place.station().length()
            + place.product().length();
    if (kind != null) {
      letters += kind.revision().length() + kind.batch().length() + kind.plan().length();
    }
    for (String one : failed) {
      letters += 25 + one.length();
    }
    for (String one : notices) {
      letters += 25 + one.length();
    }
    if (opening != null) {
      letters += 50 + opening.reason().length() + opening.unit().length();
    }
    return BYTES_OF_A_LETTER * letters;
  }

  /** Names of what failed, each once, without the conditions. */
  Set<String> failedNames() {
    Set<String> names = new LinkedHashSet<>();
    for (String title : failed) {
      int conditions = title.indexOf(" (");
      names.add(conditions < 0 ? title : title.substring(0, conditions));
    }
    return names;
  }

  /** Whether it is one of a check standard, or of no batch at all. */
  boolean isBesideBatches() {
    Told.Kind of = kind;
    return check || (of != null && of.batch().isEmpty());
  }

  /** When it began, in its bench's time, as far as that is known: as its record says it. */
  Instant began() {
    return started != null ? started : when();
  }

  /** Whether the run ended and is an attempt of its unit. */
  boolean conclusive() {
    return verdict != null && verdict.isAttempt();
  }
}

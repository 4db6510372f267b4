package kitproof.board;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** One run of one unit, as far as it has been told. */
final class Run {
  /** What a run that has not ended yet says beyond this is counted, not kept. */
  private static final int MOST_LIVE_BYTES = 4 * 1024 * 1024;

  final Told.Place place;
  Told.@Nullable Kind kind;
  @Nullable Instant started;
  @Nullable Instant ended;
  @Nullable Verdict verdict;
  String reason = "";
  List<String> failed = new ArrayList<>();
  List<String> notices = new ArrayList<>();
  private List<Told.Held> live = new ArrayList<>();
  private @Nullable Details details;
  private @Nullable Set<String> names;

  /** How many results have been told that are not here. */
  int missing;

  /** Whether results may have been told before this board listened. */
  boolean partial;

  /** Whether the station has told the whole run at its end. */
  boolean whole;

  /** Of what is kept of the results, roughly. */
  int bytes;

  private long lastSequence = -1;
  private String step = "";

  Run(Told.Place place) {
    this.place = place;
  }

  /** Takes in an entry; false if it was told before. */
  boolean add(Told.OfEntry entry, int size) {
    if (whole || entry.sequence() <= lastSequence) {
      return false;
    }
    partial |= entry.sequence() != lastSequence + 1;
    lastSequence = entry.sequence();
    names = null;
    Event event = entry.event();
    if (event instanceof Event.RunStarted start) {
      kind = new Told.Kind(start.revision(), start.batch(), start.plan());
      started = entry.time();
    } else if (event instanceof Event.StepStarted begun) {
      step = begun.step();
    } else if (event instanceof Event.ResultJudged judged) {
      add(judged, size);
    } else if (event instanceof Event.Notice notice && notices.size() < 100) {
      notices.add(notice.text());
    } else if (event instanceof Event.InterlockTripped trip && notices.size() < 100) {
      notices.add("interlock: " + trip.reason());
    } else if (event instanceof Event.SafeState safe && !safe.confirmed() && notices.size() < 100) {
      notices.add("safe state not confirmed: " + safe.detail());
    } else if (event instanceof Event.RunEnded end) {
      ended = entry.time();
      verdict = end.verdict();
      reason = end.reason();
      failed = end.failed();
    }
    return true;
  }

  private void add(Event.ResultJudged judged, int size) {
    if (bytes + size <= MOST_LIVE_BYTES) {
      if (judged.judgement().outcome().fails()) {
        failed.add(judged.measurement().title());
      }
      live.add(new Told.Held(step, judged.measurement(), judged.judgement(), 0));
      bytes += size;
    } else {
      missing++;
    }
  }

  /** Replaces all by what the station has told at the end. */
  void become(Told.OfRecord record) {
    kind = record.kind();
    started = record.started();
    ended = record.ended();
    verdict = record.verdict();
    reason = record.reason();
    failed = record.failed();
    notices = record.notices();
    names = null;
    live = new ArrayList<>();
    details = record.details();
    missing = record.missing();
    bytes = record.details().size();
    partial = false;
    whole = true;
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

  /** Whether results had to be let go. */
  boolean forgotten() {
    return bytes == 0 && missing > 0;
  }

  /** Lets go of the results, but not of the verdict. */
  void forgetResults() {
    missing += details == null ? live.size() : details.count();
    live = new ArrayList<>();
    details = null;
    bytes = 0;
  }

  /** Names of what failed, each once, without the conditions. */
  Set<String> failedNames() {
    if (names == null) {
      names = new LinkedHashSet<>();
      for (String title : failed) {
        int conditions = title.indexOf(" (");
        names.add(conditions < 0 ? title : title.substring(0, conditions));
      }
    }
    return names;
  }

  /** Whether the run ended and says something of the unit: an error is the station's alone. */
  boolean conclusive() {
    return verdict != null && verdict != Verdict.ERROR;
  }
}

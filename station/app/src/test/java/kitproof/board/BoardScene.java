package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.InstantSource;

/** A board an hour after the first unit, for tests to tell something. */
abstract class BoardScene {
  static final BatchKey PILOT = new BatchKey("attic", "linnet-12", "pilot");
  final Instant[] now = {Sender.START.plusSeconds(3600)};
  final Board board = new Board(clock(now));

  static InstantSource clock(Instant[] now) {
    return () -> now[0];
  }

  BatchView batch() {
    return board.overview(PILOT, 0).batch();
  }

  StationView station() {
    assertThat(board.overview(null, 0).stations()).hasSize(1);
    return board.overview(null, 0).stations().get(0);
  }
}

package kitproof.run;

import java.time.Duration;
import kitproof.driver.InstrumentException;

/** What goes on beside a signal; told on the step's thread. */
interface PlayingBeside {
  /** A signal of this length is about to be played. */
  void begin(Duration signal) throws InstrumentException;

  /** Called every now and then while it plays; may interrupt the caller, which breaks it off. */
  void look();

  /** It has been played to its end. */
  void end() throws InstrumentException;

  /** It has failed; returns the first cause. */
  InstrumentException brokenOff(InstrumentException cause);

  /** Nothing does. */
  PlayingBeside NOTHING =
      new PlayingBeside() {
        @Override
        public void begin(Duration signal) {}

        @Override
        public void look() {}

        @Override
        public void end() {}

        @Override
        public InstrumentException brokenOff(InstrumentException cause) {
          return cause;
        }
      };
}

package kitproof.driver.serial;

import java.time.Duration;
import kitproof.driver.InstrumentException;
import kitproof.driver.kit.ScriptedLine;

/** The kit's scripted line as a line; for this module's tests and the drivers'. */
public final class ScriptedLines {
  private ScriptedLines() {}

  public static LineOpener opener(ScriptedLine scripted) {
    return (clock, atMost) -> {
      scripted.open();
      return new Line() {
        @Override
        public void send(byte[] bytes) throws InstrumentException {
          scripted.send(bytes);
        }

        @Override
        public byte[] receive(Duration wait) throws InstrumentException {
          return scripted.receive(wait);
        }

        @Override
        public void close() {
          scripted.close();
        }
      };
    };
  }
}

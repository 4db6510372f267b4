package kitproof.run;

import java.util.Map;
import java.util.function.Function;
import java.util.function.Supplier;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.event.CaptureShelf;
import kitproof.value.Quantity;
import kitproof.value.Signal;

/**
 * An audio interface whose captures are put on a shelf as they come, uncorrected.
 *
 * @param loads of the moment by channel
 * @param range the input range of the moment
 * @param notice tells the operator
 */
record KeptAudio(
    AudioInterface audio,
    CaptureShelf shelf,
    int index,
    String step,
    String role,
    Function<AudioPorts, Map<String, Quantity>> loads,
    Supplier<String> range,
    Notice notice)
    implements AudioInterface {

  /** Tells the operator. */
  interface Notice {
    void tell(String text) throws InstrumentException;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    Capture capture = audio.exchange(stimulus);
    String trouble =
        shelf.put(
            new CaptureShelf.Taken(
                index, step, role, ports(), loads.apply(ports()), range.get(), capture));
    if (!trouble.isEmpty()) {
      notice.tell(trouble);
    }
    return capture;
  }

  @Override
  public AudioPorts ports() {
    return audio.ports();
  }

  @Override
  public Identity identity() {
    return audio.identity();
  }

  @Override
  public void makeSafe() throws InstrumentException {
    audio.makeSafe();
  }

  @Override
  public void close() throws InstrumentException {
    audio.close();
  }
}

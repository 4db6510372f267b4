package kitproof.run;

import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.value.Signal;

/** An audio interface over another one, to which everything goes that is not overridden. */
abstract class PassedOnAudio implements AudioInterface {
  private final AudioInterface audio;

  PassedOnAudio(AudioInterface audio) {
    this.audio = audio;
  }

  /** The one beneath. */
  final AudioInterface beneath() {
    return audio;
  }

  @Override
  public Identity identity() {
    return audio.identity();
  }

  @Override
  public void recognise() throws InstrumentException {
    audio.recognise();
  }

  @Override
  public AudioPorts ports() {
    return audio.ports();
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    return audio.exchange(stimulus);
  }

  @Override
  public void rest() throws InstrumentException {
    audio.rest();
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

package kitproof.driver.audio;

import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.kit.AudioInterfaceContract;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;

/** The contract on a real sound server. */
class LiveAudioIT extends AudioInterfaceContract {
  private static SoundServer server;

  @BeforeAll
  static void start() {
    server = SoundServer.start();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  @Override
  public AudioInterface open() throws InstrumentException {
    return Bench.open();
  }
}

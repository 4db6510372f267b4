package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** That the program is no safety device is said where people meet it, once in each place. */
class CautionTest {
  @TempDir private Path folder;

  private static void saidOnce(String where, String text) {
    String plain = text.replaceAll("<[^>]*>", " ").replaceAll("[\\s>]+", " ");
    assertThat(plain).as(where).containsOnlyOnce("not a safety device").contains("several hundred");
  }

  @Test
  void itIsSaidWherePeopleMeetTheProgram() throws Exception {
    saidOnce("README", Files.readString(Cli.HOME.resolve("README.md")));
    saidOnce("first screen", Cli.run("--help").out());
    Cli nothing = Cli.run();
    assertThat(nothing.code()).isEqualTo(ExitCodes.BAD_INPUT);
    saidOnce("first screen", nothing.err());
    Path guide = folder.resolve("guide.html");
    Cli check = Cli.run("check", Cli.example("bench-serial.yaml"), "--guide", guide);
    assertThat(check.code()).isZero();
    saidOnce("bench guide", Files.readString(guide));
    Path screen = Cli.HOME.resolve("station/app/src/main/resources/kitproof/web/operator.html");
    saidOnce("operator's screen", Files.readString(screen));
  }
}

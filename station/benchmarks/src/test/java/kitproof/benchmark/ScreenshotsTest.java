package kitproof.benchmark;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

class ScreenshotsTest {
  private static final Path HOME = Path.of("").toAbsolutePath().getParent().getParent();

  @Test
  void everyPictureOfThePagesInTheReadmeIsTakenByTheCommandAndNoneBesides() throws Exception {
    Matcher matcher =
        Pattern.compile("\\(station/docs/([a-z-]+)\\.png\\)")
            .matcher(Files.readString(HOME.resolve("README.md")));
    SortedSet<String> shown = new TreeSet<>();
    while (matcher.find()) {
      shown.add(matcher.group(1));
    }
    assertThat(shown).isEqualTo(Screenshots.names());
    for (String name : shown) {
      assertThat(HOME.resolve("station/docs/" + name + ".png")).exists();
    }
  }
}

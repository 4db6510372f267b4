package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class DesktopBrowserTest {
  private static final String ADDRESS = "http://127.0.0.1:8417/";
  @TempDir static Path folder;
  private final List<List<String>> started = new ArrayList<>();
  private final Map<String, String> environment = new HashMap<>();

  @BeforeEach
  void desktop() throws IOException {
    Path opener = folder.resolve("xdg-open");
    if (!Files.exists(opener)) {
      Files.createFile(opener);
      assertThat(opener.toFile().setExecutable(true)).isTrue();
    }
    environment.put("DISPLAY", ":0");
    environment.put("PATH", folder.toString());
  }

  private boolean opens(String system) {
    return DesktopBrowser.of(environment, system, started::add).open(ADDRESS);
  }

  @Test
  void onADesktopThePageIsOpened() {
    assertThat(opens("Linux")).isTrue();
    assertThat(started).containsExactly(List.of(folder.resolve("xdg-open").toString(), ADDRESS));
  }

  @Test
  void onAScreenThatIsNotOfTheOldKindToo() {
    environment.remove("DISPLAY");
    environment.put("WAYLAND_DISPLAY", "wayland-0");
    assertThat(opens("Linux")).isTrue();
  }

  @ParameterizedTest
  @CsvSource({"CI, true", "SSH_CONNECTION, 192.0.2.7 50000 192.0.2.8 22"})
  void whereNobodySitsNothingIsOpened(String variable, String value) {
    environment.put(variable, value);
    for (String system : List.of("Linux", "Mac OS X", "Windows 11")) {
      assertThat(opens(system)).as(system).isFalse();
    }
    assertThat(started).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(strings = {"DISPLAY", "PATH"})
  void withoutADesktopOrItsOpenerNothingIsOpened(String missing) {
    environment.remove(missing);
    assertThat(opens("Linux")).isFalse();
    assertThat(started).isEmpty();
  }

  @ParameterizedTest
  @CsvSource({"Mac OS X, open", "Windows 11, rundll32"})
  void otherSystemsHaveTheirOwnOpener(String system, String program) {
    environment.clear();
    assertThat(opens(system)).isTrue();
    assertThat(started.get(0)).startsWith(program).endsWith(ADDRESS);
  }

  @Test
  void aBrowserThatDoesNotStartHarmsNothing() {
    DesktopBrowser browser =
        DesktopBrowser.of(
            environment,
            "Linux",
            command -> {
              throw new IOException("no such program");
            });
    assertThat(browser.open(ADDRESS)).isFalse();
  }
}

package kitproof.benchmark;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The command that takes the README's pictures, with a batch that has only just begun. */
class ScreenshotsIT {
  @TempDir Path folder;

  @BeforeAll
  static void setHome() {
    System.setProperty(
        "kitproof.home", Path.of("").toAbsolutePath().getParent().getParent().toString());
  }

  @Test
  void everyPictureIsTakenOfProgramsThatRun() throws Exception {
    SortedSet<String> names = Screenshots.names();
    List<Path> taken =
        Screenshots.take(System.getProperty("java.class.path"), folder, names, 1);
    assertThat(taken).hasSameSizeAs(names);
    for (Path file : taken) {
      BufferedImage picture = ImageIO.read(file.toFile());
      assertThat(picture.getWidth()).isEqualTo(Scene.WIDTH);
      assertThat(picture.getHeight()).isEqualTo(Scene.HEIGHT);
      assertThat(colours(picture)).as("%s shows something", file).isGreaterThan(50);
    }
  }

  private static int colours(BufferedImage picture) {
    Set<Integer> colours = new HashSet<>();
    for (int y = 0; y < picture.getHeight(); y += 2) {
      for (int x = 0; x < picture.getWidth(); x += 2) {
        colours.add(picture.getRGB(x, y));
      }
    }
    return colours.size();
  }
}

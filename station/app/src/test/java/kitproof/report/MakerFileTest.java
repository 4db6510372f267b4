package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MakerFileTest {
  @TempDir Path folder;

  private Path file(String text) throws IOException {
    ImageIO.write(
        new BufferedImage(8, 8, BufferedImage.TYPE_INT_RGB),
        "png",
        folder.resolve("logo.png").toFile());
    Files.writeString(folder.resolve("logo.svg"), "<svg xmlns=\"http://www.w3.org/2000/svg\"/>");
    Files.write(folder.resolve("huge.png"), new byte[2 << 20]);
    return Files.writeString(folder.resolve("maker.yaml"), text);
  }

  @Test
  void aMakerHasNameAddressMottoAndLogo() throws IOException {
    Maker maker =
        MakerFile.read(
                file("maker: Linnet Works\naddress: [a, b]\nmotto: One by one.\nlogo: logo.png"))
            .value();
    assertThat(maker.name()).isEqualTo("Linnet Works");
    assertThat(maker.address()).containsExactly("a", "b");
    assertThat(maker.motto()).isEqualTo("One by one.");
    assertThat(maker.logo()).isNotNull();
    assertThat(maker.logo().uri()).startsWith("data:image/png;base64,iVBORw0KGgo");
  }

  @Test
  void aNameIsEnough() throws IOException {
    assertThat(MakerFile.read(file("maker: Linnet Works")).value().logo()).isNull();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "address: a|:1:1: found no \"maker\" in this section",
        "maker: a\\nadress: b|:2:1: found key \"adress\"",
        "maker: a\\nadress: b|did you mean \"address\"?",
        "maker: a\\n"
            + "logo: none.png|:2:7: found logo: \"none.png\", where there is no file; expected",
        "maker: a\\n"
            + "logo: logo.svg|:2:7: found logo: \"logo.svg\", which is something else; expected a"
            + " PNG or JPEG picture",
        "maker: a\\nlogo: huge.png|2097152 bytes; expected a picture of 1 MB at most",
        "maker: a\\nlogo: .|:2:7: found logo: \".\"",
      })
  void whatIsWrongIsToldWithItsPlace(String text, String told) throws IOException {
    assertThat(MakerFile.read(file(text.replace("\\n", "\n"))).problems())
        .anySatisfy(p -> assertThat(p.toString()).contains("maker.yaml:").contains(told));
  }

  private static Path station() {
    Path folder = Path.of("").toAbsolutePath();
    while (!Files.exists(folder.resolve("station/schemas"))) {
      folder = folder.getParent();
    }
    return folder.resolve("station");
  }

  /** Written anew with {@code -Dkitproof.schemas.write=true}, like the other schemas. */
  @Test
  void thePublishedSchemaIsTheOneTheCodeMakes() throws IOException {
    Path file = station().resolve("schemas/maker.schema.json");
    if (Boolean.getBoolean("kitproof.schemas.write")) {
      Files.writeString(file, MakerFile.schema());
    }
    assertThat(Files.readString(file)).isEqualTo(MakerFile.schema());
  }

  @Test
  void theExampleIsValidAndRead() throws IOException {
    Path example = station().resolve("examples/linnet-12/maker.yaml");
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(MakerFile.schema())
                .validate(Files.readString(example), InputFormat.YAML))
        .isEmpty();
    assertThat(MakerFile.read(example).value().logo()).isNotNull();
  }

  @Test
  void theSchemaRefusesWhatTheReaderRefuses() {
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(MakerFile.schema())
                .validate("maker: a\nadress: b", InputFormat.YAML))
        .isNotEmpty();
  }
}

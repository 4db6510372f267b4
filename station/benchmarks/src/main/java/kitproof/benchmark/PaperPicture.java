package kitproof.benchmark;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import kitproof.journal.RecordHead;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.ImageType;
import org.apache.pdfbox.rendering.PDFRenderer;

/** The first two sheets of a document on paper, side by side, as the program wrote it. */
final class PaperPicture {
  private static final Color TABLE = new Color(0xD9D6D0);
  private static final int MARGIN = 26;
  private static final int SHEETS = 2;
  private static final double POINTS_PER_INCH = 72;

  private PaperPicture() {}

  /**
   * Waits until some unit's record is there that passed.
   *
   * @param records the folder of a station that is at work
   * @param runs so many records must be there
   */
  static RecordHead passed(Path records, int runs, Duration patience)
      throws IOException, InterruptedException {
    long end = System.nanoTime() + patience.toNanos();
    while (System.nanoTime() < end) {
      List<RecordHead> heads = heads(records);
      Optional<RecordHead> passed =
          heads.stream().filter(head -> head.verdict().equals("pass")).findFirst();
      if (passed.isPresent() && heads.size() >= runs) {
        return passed.get();
      }
      Thread.sleep(500);
    }
    throw new IOException("no unit has passed in " + records);
  }

  private static List<RecordHead> heads(Path records) throws IOException {
    List<RecordHead> heads = new ArrayList<>();
    if (Files.isDirectory(records)) {
      try (Stream<Path> files = Files.list(records)) {
        for (Path file : files.filter(PaperPicture::isDocument).sorted().toList()) {
          heads.add(RecordHead.read(file));
        }
      }
    }
    return heads;
  }

  private static boolean isDocument(Path file) {
    String name = file.getFileName().toString();
    return name.endsWith(".json") && !name.startsWith(".");
  }

  /** Runs the program, which writes one PDF into the folder, and draws that. */
  static byte[] written(String classPath, Path folder, List<String> arguments)
      throws IOException, InterruptedException {
    Files.createDirectories(folder);
    List<String> command =
        new ArrayList<>(
            List.of(
                System.getProperty("java.home") + "/bin/java",
                "-Xmx256m",
                "-XX:+UseSerialGC",
                "-Djava.awt.headless=true",
                "-Dkitproof.home=" + System.getProperty("kitproof.home"),
                "-cp",
                classPath,
                "kitproof.cli.Main"));
    command.addAll(arguments);
    int code =
        new ProcessBuilder(command)
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start()
            .waitFor();
    if (code != 0) {
      throw new IOException("exit code " + code + " of " + arguments);
    }
    try (Stream<Path> files = Files.list(folder)) {
      return of(files.filter(f -> f.toString().endsWith(".pdf")).findFirst().orElseThrow());
    }
  }

  /** As PNG, as large as the pictures of pages. */
  static byte[] of(Path pdf) throws IOException {
    BufferedImage picture =
        new BufferedImage(Scene.WIDTH, Scene.HEIGHT, BufferedImage.TYPE_INT_RGB);
    Graphics2D ground = picture.createGraphics();
    ground.setColor(TABLE);
    ground.fillRect(0, 0, Scene.WIDTH, Scene.HEIGHT);
    ground.setRenderingHint(
        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BICUBIC);
    int width = (Scene.WIDTH - (SHEETS + 1) * MARGIN) / SHEETS;
    try (PDDocument document = Loader.loadPDF(pdf.toFile())) {
      PDFRenderer renderer = new PDFRenderer(document);
      for (int i = 0; i < Math.min(SHEETS, document.getNumberOfPages()); i++) {
        double wide = document.getPage(i).getMediaBox().getWidth() / POINTS_PER_INCH;
        BufferedImage sheet =
            renderer.renderImageWithDPI(i, (float) (2 * width / wide), ImageType.RGB);
        int height = (int) Math.round((double) width * sheet.getHeight() / sheet.getWidth());
        int left = MARGIN + i * (width + MARGIN);
        ground.drawImage(sheet, left, (Scene.HEIGHT - height) / 2, width, height, null);
      }
    }
    ground.dispose();
    ByteArrayOutputStream png = new ByteArrayOutputStream();
    ImageIO.write(picture, "png", png);
    return png.toByteArray();
  }
}

package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import org.junit.jupiter.api.Test;

class WhoCalibratesTest {
  private final StringWriter printed = new StringWriter();

  private String ask(String typed) throws IOException {
    return WhoCalibrates.ask(
        new BufferedReader(new StringReader(typed)), new PrintWriter(printed, true));
  }

  @Test
  void thePersonIsAskedUntilANameIsTyped() throws IOException {
    assertThat(ask("\n  \n \u0007A. Pérson \nmore\n")).isEqualTo("A. Pérson");
    assertThat(printed.toString().split("Who calibrates", -1)).hasSize(4);
  }

  @Test
  void nobodyIsNamedWhereNothingCanBeTypedAnyMore() throws IOException {
    assertThat(ask("")).isEmpty();
  }
}

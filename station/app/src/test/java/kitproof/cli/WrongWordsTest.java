package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Slips of the hand on the command line: each is told by found, expected and the nearest name. */
class WrongWordsTest {
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      textBlock =
          """
          chek plan.yaml                     | found "chek"; expected one of analyze, batch, | ; did you mean "check"?
          store verfy                        | found "verfy"; expected one of               | ; did you mean "verify"?
          run p.yaml --bench b.yaml --unti X | found "--unti"; expected an option of "kitproof run" | ; did you mean "--unit"?
          run p.yaml --bench=b.yaml --batchsize=3 | found "--batchsize=3"; expected an option | ; did you mean "--batch-size"?
          run p.yaml --bench a --bench b     | found --bench twice; expected it once        | "kitproof run --help" says
          run p.yaml                         | found no --bench FILE; expected it           | "kitproof run --help" says
          run --bench b.yaml                 | found no PLAN; expected it                   | "kitproof run --help" says
          run p.yaml q.yaml --bench b.yaml   | found "q.yaml"; expected nothing more        | "kitproof run --help" says
          demo --units many                  | --units: found "many"; expected a whole number | "kitproof demo --help" says
          batch pilot --confidence high      | --confidence: found "high"; expected a number | "kitproof batch --help" says
          batch pilot --time-zone Nowhere    | --time-zone: found "Nowhere"; expected a time zone | "kitproof batch --help" says
          batch pilot --report x --paper A44 | --paper: found "A44"; expected one of A4, Letter | ; did you mean "A4"?
          report --unit X --result           | found no                                     | --result
          plot r.json --when tap             | --when: found "tap"; expected NAME=VALUE     | "kitproof plot --help" says
          """)
  void isToldByFoundAndExpected(String words, String told, String more) {
    Cli cli = Cli.run((Object[]) words.split(" "));
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.out()).isEmpty();
    assertThat(cli.err()).contains(told, more);
    assertThat(cli.err().lines()).as("no help that hides it").hasSize(2);
  }
}

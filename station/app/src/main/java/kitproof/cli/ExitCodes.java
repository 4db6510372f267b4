package kitproof.cli;

/** What the program's exit code says; those of a run come from its verdict. */
final class ExitCodes {
  static final int GOOD = 0;
  static final int BAD_INPUT = 2;
  static final int STATION_ERROR = 4;

  private ExitCodes() {}
}

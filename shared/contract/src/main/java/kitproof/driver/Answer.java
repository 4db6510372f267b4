package kitproof.driver;

import kitproof.value.Quantity;

/** What an operator answers. */
public sealed interface Answer {
  /** It has been done. */
  record Done() implements Answer {
    @Override
    public String toString() {
      return "done";
    }
  }

  /** A value that was read by eye. */
  record Value(Quantity quantity) implements Answer {
    @Override
    public String toString() {
      return quantity.toString();
    }
  }

  /**
   * It cannot or shall not be done.
   *
   * @param reason empty if none was given
   */
  record Declined(String reason) implements Answer {
    @Override
    public String toString() {
      return reason.isEmpty() ? "declined" : "declined: " + reason;
    }
  }
}

package kitproof.cause;

import java.util.List;
import kitproof.document.Initially;
import kitproof.document.Key;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.SelfChecked;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** A table of probable causes as it is written. */
@Meaning("What failed results of a product usually mean: suggestions, not judgements")
record CauseDocument(
    @Key("causes") @Meaning("A name for this table") String name,
    @Meaning("The product, as plans name it") Located<String> product,
    @Meaning("The probable causes; those that fit are told in this order") List<Row> probable) {

  /** One cause with the signs of it. */
  record Row(
      @Meaning("What it usually is, in words for the person at the bench") String cause,
      @Meaning("Where to look, or what to do, to find out") @Nullable String look,
      @Meaning("A condition, such as channel: the signs are looked for under each of its values")
          @Nullable String each,
      @Meaning("All of these have to be there") List<Sign> signs,
      @Meaning("None of these may be there") @Nullable List<Sign> butNot) {}

  /** Something that results show. */
  record Sign(
      @Meaning("The name of the result, such as thd+n") String result,
      @Meaning("The conditions it holds under, such as mode: triode; any if left out")
          @Nullable Conditions when,
      @Meaning("What became of it; failed if neither this nor above or below is given")
          @Nullable Located<Finding> is,
      @Meaning("Its value lies above this") @Nullable Located<Quantity> above,
      @Meaning("Its value lies below this") @Nullable Located<Quantity> below,
      @Meaning("How many of the results of that name and these conditions show it")
          @Initially("some")
          Extent at)
      implements SelfChecked {

    @Override
    public List<Problem> problems(Location section) {
      if (is != null && (above != null || below != null)) {
        return List.of(
            Problem.of(
                is.location(),
                "is: " + is.value() + " beside above or below",
                "what became of the result, or its value, not both"));
      }
      if (above != null && below != null && above.value().unit() != below.value().unit()) {
        return List.of(
            Problem.of(
                below.location(),
                "\"" + below.value().display() + "\"",
                Quantity.expectation(above.value().unit())));
      }
      return List.of();
    }

    Conditions conditions() {
      return when == null ? Conditions.NONE : when;
    }

    Finding finding() {
      return is == null ? Finding.FAILED : is.value();
    }
  }
}

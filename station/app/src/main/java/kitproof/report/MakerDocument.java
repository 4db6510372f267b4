package kitproof.report;

import java.util.List;
import kitproof.document.Key;
import kitproof.document.Located;
import kitproof.document.Meaning;
import kitproof.document.OneOrMore;
import org.jspecify.annotations.Nullable;

/** A maker file as it is written. */
@Meaning("Who made the units, as it stands on their certificates")
record MakerDocument(
    @Key("maker") @Meaning("The name, as on a letterhead") String name,
    @Meaning("The address, line by line; what else belongs under a letterhead too") @OneOrMore
        @Nullable List<String> address,
    @Meaning("A line of your own, beneath the title") @Nullable String motto,
    @Meaning("A PNG or JPEG picture: the path from this file to it")
        @Nullable Located<String> logo) {}

using Keyline.Guidance;

namespace Keyline.Formats;

/// <summary>What whoever loads the lines must know of their datum: which it is, and what another correction service would shift.</summary>
/// <remarks>Units: metres. Source: beside each sentence.</remarks>
public static class GuidanceNotes
{
    /// <summary>On the datum of every longitude and latitude written, one sentence each.</summary>
    /// <param name="crs">The projected system of the plan.</param>
    public static IReadOnlyList<string> Datum(GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(crs);
        return
        [
            crs.DatumNote,
            Drift(crs.DatumName),
            "Before the first pass, drive to a mark whose place is known in this datum and compare; shift the lines in the display by the difference, or use the correction service that the elevation was surveyed with.",
        ];
    }

    /// <summary>On the lines, their datum and what to beware of, in one paragraph: for the description that a format has room for.</summary>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system of the plan.</param>
    public static string Summary(GuidanceSet set, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(set);
        string apart = double.IsFinite(set.SwathWidth) ? FormattableString.Invariant($", {set.SwathWidth:0.###} m apart") : "";
        string notice = set.Notice.Length > 0 ? set.Notice.ToUpperInvariant() + ". " : "";
        return notice + FormattableString.Invariant($"{set.Lines.Count} lines in driving order{apart}. {string.Join(' ', Datum(crs))} {Cautions.InShort}");
    }

    // How realizations of a datum differ from the one that satellites and global corrections use today.
    private static string Drift(string datum)
    {
        string plain = datum.Replace('_', ' ').ToUpperInvariant();

        // NGS, "NAD 83 and WGS 84: how far apart" (NOAA NGS FAQ): one to two metres across the conterminous states; from memory.
        return plain.Contains("NAD83", StringComparison.Ordinal) || plain.Contains("NORTH AMERICAN DATUM 1983", StringComparison.Ordinal) || plain.Contains("NORTH AMERICAN 1983", StringComparison.Ordinal)
            ? "A service that corrects to NAD83(2011) (state networks, many RTK bases) drives the lines as they are; one that corrects to ITRF or WGS 84 (satellite-delivered corrections) drives them 1 to 2 m off in the conterminous United States."

            // EUREF: ETRS89 moves with the stable part of Europe, about 2.5 cm a year against ITRF since 1989; from memory.
            : plain.Contains("ETRS", StringComparison.Ordinal) || plain.Contains("EUROPEAN TERRESTRIAL", StringComparison.Ordinal)
            ? "A service that corrects to ETRS89 (national networks) drives the lines as they are; one that corrects to ITRF or WGS 84 (satellite-delivered corrections) drives them about 2.5 cm off for every year since 1989, 0.9 m by 2026."

            // Intergovernmental Committee on Surveying and Mapping, Geocentric Datum of Australia 2020 Technical Manual (2018 and later):
            // 1.8 m to the north-east between GDA94 and GDA2020; from memory.
            : plain.Contains("GDA", StringComparison.Ordinal) || plain.Contains("GEOCENTRIC DATUM OF AUSTRALIA", StringComparison.Ordinal)
            ? "GDA94 and GDA2020 lie 1.8 m apart: a service that corrects to the other one drives the lines that far off."
            : "WGS 84 is known by several realizations: a service that corrects to a national datum (NAD83, ETRS89, GDA2020) can drive the lines 0.5 to 2 m off.";
    }
}

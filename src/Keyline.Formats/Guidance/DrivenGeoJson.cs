using System.Text.Json;
using Keyline.Driven;

namespace Keyline.Formats;

/// <summary>Writes what was driven, held against a plan, as GeoJSON.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 9 decimals, heights in metres as third coordinate where they are known; metres and percent as
/// the names of the properties say. Errors are positive to the right as driven.</para>
/// <para>Promises: RFC 7946. The same result gives the same bytes. The fields are described in docs/formats.md.</para>
/// <para>Source: RFC 7946 (2016).</para>
/// </remarks>
public static class DrivenGeoJson
{
    private const int FormatVersion = 1;

    /// <summary>Writes a result.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="result">The result.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(Stream stream, DrivenResult result, GroundCrs crs, PlanProvenance provenance, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(result);
        FeatureCollectionJson.Write(stream, Features(result), null, crs, provenance, FormatVersion, cancellationToken, GeoJsonShapes.DrivenDecimals);
    }

    /// <summary>The word for a kind of stretch: "skipped", "repeated", "off-line" or "too-steep".</summary>
    /// <param name="kind">The kind.</param>
    public static string WordOf(DrivenStretchKind kind) => JsonNamingPolicy.KebabCaseLower.ConvertName(kind.ToString());

    private static IEnumerable<JsonFeature> Features(DrivenResult result)
    {
        foreach (DrivenPass pass in result.Passes)
        {
            yield return JsonFeature.Named("driven-pass", FormattableString.Invariant($"pass-{pass.Number}"), pass.Path, json =>
            {
                json.WriteString("line", pass.LineId);
                json.WriteBoolean("reversed", pass.IsReversed);
                JsonText.Number(json, "from_m", pass.From, 2);
                JsonText.Number(json, "to_m", pass.To, 2);
                JsonText.Number(json, "error_mean_m", pass.MeanError, 3);
                JsonText.Number(json, "error_rms_m", pass.RootMeanSquareError, 3);
                JsonText.Number(json, "error_95_m", pass.Error95, 3);
                JsonText.Number(json, "error_max_m", pass.GreatestError, 3);
                JsonText.Number(json, "grade_mean_pct", pass.MeanGrade, 2);
                JsonText.Number(json, "grade_max_pct", pass.MaximumGrade, 2);
                JsonText.Number(json, "planned_grade_max_pct", pass.PlannedMaximumGrade, 2);
            });
        }

        for (int i = 0; i < result.Elsewhere.Count; i++)
        {
            yield return JsonFeature.Named("driven-elsewhere", FormattableString.Invariant($"elsewhere-{i + 1}"), result.Elsewhere[i], _ => { });
        }

        int number = 0;
        foreach (DrivenStretch stretch in result.Stretches)
        {
            yield return JsonFeature.Named(WordOf(stretch.Kind), FormattableString.Invariant($"stretch-{++number}"), stretch.Path, json =>
            {
                json.WriteString("line", stretch.LineId);
                JsonText.Number(json, "from_m", stretch.From, 2);
                JsonText.Number(json, "to_m", stretch.To, 2);
                JsonText.Number(json, "worst", stretch.Worst, 3);
                json.WriteString("sentence", stretch.Sentence);
            });
        }
    }
}

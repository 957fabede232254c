using System.Text.Json;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Union;

namespace Keyline.Formats;

/// <summary>Writes the summary of a plan as JSON: its figures, what was assumed, what was left out, what to beware of.</summary>
/// <remarks>
/// <para>Units: as the names of the members say; shares run from 0 to 1.</para>
/// <para>Missing: a number that is not there is null.</para>
/// <para>Promises: the same plan gives the same bytes. The members are described in docs/formats.md, which is a contract.</para>
/// </remarks>
public static class PlanSummary
{
    /// <summary>Number of the layout of the file's members; it rises when a member changes its meaning or goes.</summary>
    public const int FormatVersion = 2;

    // Shares of the length that a layout should hold; below them the summary warns.
    private const double GoodShare = 0.95;
    private const double GoodSpacing = 0.90;
    private const double GoodToRidge = 0.70;
    private const double GoodCoverage = 0.93;

    /// <summary>Writes a summary.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="certainty">How sure its drift is; null where that was not asked for.</param>
    public static void Write(Stream stream, KeylinePlan plan, GroundCrs crs, PlanProvenance provenance, DriftCertainty? certainty = null)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(provenance);
        using Utf8JsonWriter json = new(stream, JsonText.Readable);
        json.WriteStartObject();
        json.WriteNumber("format", FormatVersion);
        WriteAreas(json, plan);
        WriteFigures(json, plan);
        WriteCertainty(json, certainty, plan.Layout.Lines);
        WriteLandform(json, plan.Landform);
        WriteSmoothing(json, plan, crs);
        json.WriteBoolean("limits_held", AskedLimits.Hold(plan.Layout.Findings, plan.Layout.Figures));
        JsonText.Texts(json, "assumed", Assumed(plan, crs, provenance));
        JsonText.Texts(json, "left_out", plan.Layout.Notes);
        JsonText.Texts(json, "warnings", Warnings(plan, provenance));
        WriteFindings(json, plan.Layout.Findings, crs);
        WriteCautions(json);
        PlanMembers.WriteOrigin(json, plan.Options, crs, provenance);
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    /// <summary>What a plan's reader must know before trusting it, one sentence each; empty where all went as asked.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="provenance">What it was made from.</param>
    public static IReadOnlyList<string> Warnings(KeylinePlan plan, PlanProvenance provenance)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(provenance);
        LayoutFigures f = plan.Layout.Figures;
        List<string> said = [.. provenance.Warnings, .. Cautions.WarningsOn(plan.Options)];
        if (f.LineCount == 0)
        {
            said.Add("No line could be laid out.");
            return said;
        }

        if (f.Crossings > 0)
        {
            said.Add(FormattableString.Invariant($"Lines cross or touch in {f.Crossings} {(f.Crossings == 1 ? "place" : "places")}."));
        }

        if (f.WithinGradeShare < GoodShare)
        {
            said.Add(FormattableString.Invariant($"{100 * (1 - f.WithinGradeShare):0.0} % of the length is steeper along the line than {(plan.Options.RowGrade is { } rule ? "the rule " + rule.Name + " allows" : FormattableString.Invariant($"the {plan.Options.MaximumGrade:0.##} % asked for"))}."));
        }

        if (f.SpacingWithin10Share < GoodSpacing)
        {
            said.Add(FormattableString.Invariant($"{100 * (1 - f.SpacingWithin10Share):0.0} % of the length has its next line, on one side or the other, more than 10 % off the spacing of {plan.Options.Spacing:0.##} m."));
        }

        if (plan.Options.DesignFall > 0 && f.ToRidgeShare < GoodToRidge)
        {
            said.Add(FormattableString.Invariant($"Only {Down(f.ToRidgeShare):0.0} % of the length that drifts falls toward the ridge."));
        }

        if (f.Coverage < GoodCoverage)
        {
            said.Add(FormattableString.Invariant($"Lines reach only {Down(f.Coverage):0.0} % of the ground that could be worked."));
        }

        if (f.TightShare > 0)
        {
            said.Add(FormattableString.Invariant($"{100 * f.TightShare:0.0} % of the length turns tighter than {plan.Options.MinimumRadius:0.##} m (least radius {f.MinimumRadius:0.0} m)."));
        }

        int weak = plan.Landform.Keypoints.Count(k => k.Class == KeypointClass.Weak);
        if (plan.Landform.Keypoints.Count == 0)
        {
            said.Add("No valley here has a keypoint; the guides follow the ground without one.");
        }
        else if (weak > 0)
        {
            int all = plan.Landform.Keypoints.Count;
            said.Add(all == 1 ? "The only keypoint is weak: walk to it before trusting it."
                : weak == 1 ? FormattableString.Invariant($"One of {all} keypoints is weak: walk to it before trusting it.")
                : FormattableString.Invariant($"{weak} of {all} keypoints are weak: walk to them before trusting them."));
        }

        return said;
    }

    // Percent, rounded down as the figures are everywhere else, so that none is told in two ways.
    private static double Down(double share) => Math.Floor((share * 1000) + 1e-6) / 10;

    private static List<string> Assumed(KeylinePlan plan, GroundCrs crs, PlanProvenance provenance) =>
    [
        .. provenance.Assumed,
        crs.DatumNote,
        $"All lengths, spacings and areas are level, in metres of {crs.Name}.",
        FormattableString.Invariant($"The ground was smoothed over {plan.SmoothingLength:0.##} m (standard deviation) to read the landform, less than that to lay lines out, and left as delivered to measure them; grades are over {LineMeasures.GradeBase:0.#} m."),
        .. SmoothingChange(plan, crs),
        FormattableString.Invariant($"A grade gentler than {LineMeasures.LevelGrade:0.##} % counts as level and as drifting nowhere."),
    ];

    private static string[] SmoothingChange(KeylinePlan plan, GroundCrs crs)
    {
        HeightChange change = plan.SmoothingChange;
        if (!double.IsFinite(change.Mean))
        {
            return [];
        }

        (double lon, double lat) = crs.ToLonLat(change.X, change.Y);
        return [FormattableString.Invariant($"Smoothing changed heights around the field by {100 * change.Mean:0.0} cm on average, by up to {100 * change.Percentile95:0} cm over 95 % of it, and by {100 * change.Greatest:+0;-0;0} cm at {lon:0.00000}, {lat:0.00000}.")];
    }

    private static void WriteSmoothing(Utf8JsonWriter json, KeylinePlan plan, GroundCrs crs)
    {
        HeightChange change = plan.SmoothingChange;
        (double lon, double lat) = crs.ToLonLat(change.X, change.Y);
        json.WritePropertyName("smoothing");
        json.WriteStartObject();
        JsonText.Number(json, "length_m", plan.SmoothingLength, 3);
        JsonText.Number(json, "mean_change_m", change.Mean, 4);
        JsonText.Number(json, "p95_change_m", change.Percentile95, 4);
        JsonText.Number(json, "greatest_change_m", change.Greatest, 4);
        JsonText.Number(json, "longitude", lon, 7);
        JsonText.Number(json, "latitude", lat, 7);
        json.WriteEndObject();
    }

    private static void WriteAreas(Utf8JsonWriter json, KeylinePlan plan)
    {
        Geometry field = plan.Field.Boundary;
        double inside = plan.Options.Headland > 0 ? plan.Field.Within(plan.Options.Headland).Area : field.Area;
        Geometry[] clear = [.. plan.Field.Avoided.Select(a => a.KeptClear).Where(g => g.Dimension == Dimension.Surface)];
        double avoided = clear.Length > 0 ? UnaryUnionOp.Union(clear).Intersection(field).Area : 0;
        json.WritePropertyName("field");
        json.WriteStartObject();
        json.WriteString("name", plan.Field.Name);
        JsonText.Number(json, "area_m2", field.Area, 1);
        JsonText.Number(json, "headland_m2", field.Area - inside, 1);
        JsonText.Number(json, "avoided_m2", avoided, 1);
        JsonText.Number(json, "steep_m2", plan.Layout.Steep.Area, 1);
        JsonText.Number(json, "workable_m2", plan.Layout.Workable.Area, 1);
        json.WriteEndObject();
    }

    private static void WriteFigures(Utf8JsonWriter json, KeylinePlan plan)
    {
        LayoutFigures f = plan.Layout.Figures;
        JsonText.Section(json, "lines", () =>
        {
            json.WriteString("pattern", plan.Options.Pattern switch
            {
                LinePattern.Even => "even",
                LinePattern.Straight => "straight",
                LinePattern.OneKeyline => "one-keyline",
                _ => "parallel",
            });
            json.WriteNumber("count", f.LineCount);
            json.WriteNumber("guides", plan.Layout.Guides.Count);
            JsonText.Number(json, "total_length_m", f.TotalLength, 1);
            JsonText.Number(json, "mean_length_m", f.MeanLength, 1);
            JsonText.Number(json, "median_length_m", f.MedianLength, 1);
            JsonText.Number(json, "p10_length_m", f.Length10, 1);
            JsonText.Number(json, "short_share", f.ShortShare, 4);
            json.WriteNumber("ends", f.LineEnds);
            JsonText.Number(json, "inner_ends", f.InnerEnds ?? double.NaN, 0);
            JsonText.Number(json, "inner_ends_per_km", f.InnerEndsPerKm, 3);
            json.WriteNumber("crossings", f.Crossings);
        });
        JsonText.Section(json, "spacing", () =>
        {
            JsonText.Number(json, "asked_m", plan.Options.Spacing, 6);
            JsonText.Number(json, "within_10pct_share", f.SpacingWithin10Share, 4);
            JsonText.Number(json, "within_25pct_share", f.SpacingWithin25Share, 4);
            JsonText.Section(json, "same_guide", () =>
            {
                JsonText.Number(json, "median_m", f.MedianSpacing, 3);
                JsonText.Number(json, "p05_m", f.Spacing05, 3);
                JsonText.Number(json, "p95_m", f.Spacing95, 3);
                JsonText.Number(json, "within_2pct_share", f.SpacingWithinShare, 4);
            });
        });
        JsonText.Section(json, "grade", () =>
        {
            JsonText.Number(json, "limit_pct", plan.Options.RowGrade?.Cap ?? plan.Options.MaximumGrade, 6);
            json.WriteString("rule", plan.Options.RowGrade?.Name);
            JsonText.Number(json, "within_limit_share", f.WithinGradeShare, 4);
            JsonText.Number(json, "median_pct", f.MedianGrade, 2);
            JsonText.Number(json, "p95_pct", f.Grade95, 2);
            JsonText.Number(json, "measured_over_m", LineMeasures.GradeBase, 2);
        });
        JsonText.Section(json, "drift", () =>
        {
            JsonText.Number(json, "design_fall_pct", plan.Options.DesignFall, 6);
            JsonText.Number(json, "to_ridge_share", f.ToRidgeShare, 4);
            JsonText.Number(json, "drifting_share", f.DriftingShare, 4);
            JsonText.Number(json, "level_below_pct", LineMeasures.LevelGrade, 2);
        });
        JsonText.Section(json, "coverage", () => JsonText.Number(json, "share", f.Coverage, 4));
        JsonText.Section(json, "radius", () =>
        {
            JsonText.Number(json, "asked_m", plan.Options.MinimumRadius, 6);
            JsonText.Number(json, "shortest_m", f.MinimumRadius, 2);
            JsonText.Number(json, "tighter_share", f.TightShare, 4);
        });
        JsonText.Section(json, "side_slope", () =>
        {
            JsonText.Number(json, "limit_deg", plan.Options.MaximumSideSlope, 3);
            JsonText.Number(json, "steepest_deg", f.SteepestSideSlope, 2);
        });
        JsonText.Section(json, "driving", () =>
        {
            JsonText.Number(json, "driven_m", plan.Layout.Driving.DrivenLength, 0);
            JsonText.Number(json, "turning_m", plan.Layout.Driving.TurningLength, 0);
            json.WriteNumber("turns", plan.Layout.Driving.Turns);
        });
        JsonText.Section(json, "cost_m2", () =>
        {
            LayoutCost cost = plan.Layout.Cost;
            JsonText.Number(json, "steep_lines", cost.SteepLines, 0);
            JsonText.Number(json, "wrong_drift", cost.WrongDrift, 0);
            JsonText.Number(json, "corners", cost.Corners, 0);
            JsonText.Number(json, "bare_ground", cost.BareGround, 0);
            JsonText.Number(json, "line_ends", cost.LineEnds, 0);
            JsonText.Number(json, "guides", cost.Guides, 0);
            JsonText.Number(json, "total", cost.Total, 0);
        });
    }

    private static void WriteCertainty(Utf8JsonWriter json, DriftCertainty? certainty, IReadOnlyList<RipLine> lines)
    {
        if (certainty is not null)
        {
            JsonText.Section(json, "certainty", () =>
            {
                JsonText.Number(json, "noise_m", certainty.Noise, 4);
                JsonText.Number(json, "correlation_length_m", certainty.CorrelationLength, 3);
                JsonText.Number(json, "sure_length_share", certainty.SureLengthShare, 4);
                JsonText.Number(json, "sure_line_share", certainty.SureLineShare, 4);
                JsonText.Texts(json, "unsure_lines", lines.Where((_, i) => certainty.LineAgreement[i] < DriftCertainty.Sure).Select(l => l.Id));
            });
        }
    }

    private static void WriteLandform(Utf8JsonWriter json, LandformReading landform) => JsonText.Section(json, "landform", () =>
    {
        json.WriteNumber("valleys", landform.Valleys.Count);
        json.WriteNumber("primary_valleys", landform.Valleys.Count(v => v.IsPrimary));
        json.WriteNumber("ridges", landform.Ridges.Count);
        json.WriteNumber("keypoints_clear", landform.Keypoints.Count(k => k.Class == KeypointClass.Clear));
        json.WriteNumber("keypoints_weak", landform.Keypoints.Count(k => k.Class == KeypointClass.Weak));
    });

    private static void WriteFindings(Utf8JsonWriter json, IReadOnlyList<LayoutFinding> findings, GroundCrs crs)
    {
        json.WritePropertyName("findings");
        json.WriteStartArray();
        foreach (LayoutFinding finding in findings)
        {
            WriteFinding(json, finding, crs);
        }

        json.WriteEndArray();
    }

    /// <summary>Writes one finding.</summary>
    internal static void WriteFinding(Utf8JsonWriter json, LayoutFinding finding, GroundCrs crs)
    {
        (double lon, double lat) = crs.ToLonLat(finding.X, finding.Y);
        json.WriteStartObject();
        json.WriteString("kind", FindingWords.Of(finding.Kind));
        json.WriteString("line", finding.LineId);
        json.WriteBoolean("breaks_limit", finding.BreaksLimit);
        JsonText.Number(json, "longitude", lon, 7);
        JsonText.Number(json, "latitude", lat, 7);
        JsonText.Number(json, "value", finding.Value, 4);
        JsonText.Number(json, "limit", finding.Limit, 4);
        JsonText.Number(json, "length_m", finding.Length, 1);
        json.WriteString("side", FindingWords.SideOf(finding));
        json.WriteString("sentence", finding.Sentence);
        json.WriteEndObject();
    }

    private static void WriteCautions(Utf8JsonWriter json)
    {
        json.WritePropertyName("cautions");
        json.WriteStartArray();
        foreach (Caution caution in Cautions.All)
        {
            json.WriteStartObject();
            json.WriteString("id", caution.Id);
            json.WriteString("text", caution.Text);
            json.WriteString("source", caution.Source);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}

/// <summary>Words for what the check found, as they stand in files.</summary>
internal static class FindingWords
{
    /// <summary>The side of its line that a finding speaks of; null where it speaks of none.</summary>
    public static string? SideOf(LayoutFinding finding) => finding.IsOnLeft switch { true => "left", false => "right", null => null };

    public static string Of(FindingKind kind) => kind switch
    {
        FindingKind.TooSteepAlongLine => "too-steep-along-line",
        FindingKind.TurnTooTight => "turn-too-tight",
        FindingKind.LinesCross => "lines-cross",
        FindingKind.TooClose => "too-close",
        FindingKind.OutsideField => "outside-field",
        FindingKind.InAvoidedArea => "in-avoided-area",
        FindingKind.TooShort => "too-short",
        FindingKind.OverMissingGround => "over-missing-ground",
        FindingKind.SpacingOff => "spacing-off",
        FindingKind.InHeadland => "in-headland",
        FindingKind.OnSteepLand => "on-steep-land",
        FindingKind.SideSlopeTooSteep => "side-slope-too-steep",
        FindingKind.FallsTooFar => "falls-too-far",
        FindingKind.TooLevel => "too-level",
        FindingKind.DriftsToValley => "drifts-to-valley",
        FindingKind.DrainsToWet => "drains-to-wet",
        FindingKind.BareStrip => "bare-strip",
        FindingKind.EndsAboveDrop => "ends-above-drop",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "No word for this finding."),
    };
}

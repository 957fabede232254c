using System.Globalization;
using System.Text.Json;
using Keyline.Formats;
using Keyline.Landform;

namespace Keyline.Console.Views;

/// <summary>What <c>keyline terrain</c> measured with.</summary>
internal sealed record TerrainSettings(double? ContourInterval, int WindowCells, double? Calm) : IRasterSettings
{
    public void WriteMembers(Utf8JsonWriter json)
    {
        JsonText.Exact(json, "contour_interval_m", ContourInterval);
        json.WriteNumber("window_cells", WindowCells);
        JsonText.Exact(json, "calm_m", Calm);
    }
}

/// <summary>What <c>keyline drainage</c> routed with.</summary>
internal sealed record DrainageSettings(double ChannelArea, double HollowDepth, double? CutDepth, double? CutLength, int? Cuts) : IRasterSettings
{
    public void WriteMembers(Utf8JsonWriter json)
    {
        json.WriteNumber("channel_area_m2", ChannelArea);
        json.WriteNumber("hollow_depth_m", HollowDepth);
        JsonText.Exact(json, "cut_depth_m", CutDepth);
        JsonText.Exact(json, "cut_length_m", CutLength);
        if (Cuts is { } cuts)
        {
            json.WriteNumber("cuts", cuts);
        }
    }
}

/// <summary>The memory that <c>keyline drainage</c> kept within.</summary>
internal sealed record LargeDrainageSettings(long MemoryBytes) : IRasterSettings
{
    public void WriteMembers(Utf8JsonWriter json) => json.WriteNumber("memory_bytes", MemoryBytes);
}

/// <summary>The tiles that <c>keyline drainage --stage</c> worked in.</summary>
/// <param name="Side">Cells along the side of a tile.</param>
internal sealed record TiledDrainageSettings(int Side) : IRasterSettings
{
    public void WriteMembers(Utf8JsonWriter json) => json.WriteNumber("tile_cells", Side);
}

/// <summary>What <c>keyline landform</c> read.</summary>
/// <param name="Landform">The land.</param>
/// <param name="Spacing">Metres.</param>
/// <param name="CommonHeight">Metres.</param>
/// <param name="Reading">The land in plain words.</param>
/// <param name="ReadingName">The file that has them all.</param>
internal sealed record LandformSettings(LandformReading Landform, double Spacing, double CommonHeight, IReadOnlyList<string> Reading, string ReadingName) : IRasterSettings
{
    // A whole county's keypoints are for the file, not for the screen.
    private const int MostSaid = 40;

    public IReadOnlyList<string> Said => Reading.Count <= MostSaid ? Reading
        : [.. Reading.Take(MostSaid - 1), Reading[^1], string.Create(CultureInfo.InvariantCulture, $"The other {Reading.Count - MostSaid} sentences are in {ReadingName}.")];

    public void WriteMembers(Utf8JsonWriter json)
    {
        json.WriteNumber("spacing_m", Spacing);
        json.WriteNumber("common_height_m", CommonHeight);
        JsonText.Section(json, "shape", () =>
        {
            json.WriteString("kind", LandformKeys.Of(Landform.Shape.Kind));
            JsonText.Number(json, "mean_slope_pct", Landform.Shape.MeanSlope, 2);
            JsonText.Number(json, "relief_m", Landform.Shape.Relief, 2);
            JsonText.Number(json, "falls_to_deg", Landform.Shape.FallDirection, 1);
            JsonText.Number(json, "one_way", Landform.Shape.OneWay, 3);
            JsonText.Number(json, "spreading", Landform.Shape.Spreading, 3);
        });
        json.WriteNumber("valleys", Landform.Valleys.Count);
        json.WriteNumber("ridges", Landform.Ridges.Count);
        json.WriteNumber("keypoints_clear", Landform.Keypoints.Count(k => k.Class == KeypointClass.Clear));
        json.WriteNumber("keypoints_weak", Landform.Keypoints.Count(k => k.Class == KeypointClass.Weak));
        json.WriteNumber("flagged_left_out", Landform.UnplacedPins.Count);
        JsonText.Sections(json, "sequences", Landform.Sequences, sequence =>
        {
            json.WriteNumber("ridge", sequence.RidgeNumber);
            JsonText.Numbers(json, "valleys", sequence.ValleyNumbers.Select(v => (double)v), 0);
            JsonText.Numbers(json, "heights_m", sequence.Heights, 2);
            json.WriteBoolean("rises", sequence.Rises);
        });
        JsonText.Texts(json, "reading", Reading);
    }
}

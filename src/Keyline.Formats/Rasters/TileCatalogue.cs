using System.Text.Json;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>A list of elevation files with the ground that each covers, so that only those a field needs are opened.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees, as the list has them.</para>
/// <para>Promises: files in the order of the list. Of an item with several assets the one named <c>dem</c>, <c>data</c>, <c>elevation</c>
/// or <c>dtm</c> is taken, else the only one whose role is <c>data</c>, else the only one; more are refused.</para>
/// <para>Cost: proportional to the list, once, and to its items for every question.</para>
/// <para>Source: SpatioTemporal Asset Catalog specification 1.0.0 (2021), Item and ItemCollection.</para>
/// </remarks>
public sealed class TileCatalogue
{
    private static readonly string[] Named = ["dem", "data", "elevation", "dtm"];
    private readonly (Envelope Box, string Path)[] _tiles;

    private TileCatalogue((Envelope Box, string Path)[] tiles) => _tiles = tiles;

    /// <summary>How many files it lists.</summary>
    public int Count => _tiles.Length;

    /// <summary>Reads a list of items on disk; what they name is relative to it.</summary>
    /// <param name="path">A collection of items, or one item.</param>
    /// <exception cref="GroundDataException">It is absent, no such list, or an item lacks its box or its file.</exception>
    public static TileCatalogue Read(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        string name = Path.GetFileName(path), folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? "";
        try
        {
            using FileStream stream = File.OpenRead(path);
            MemoryLimit.Check(stream.Length, 4, name);
            using JsonDocument document = JsonDocument.Parse(stream);
            JsonElement root = document.RootElement;
            JsonElement[] items = root.ValueKind != JsonValueKind.Object ? []
                : root.TryGetProperty("features", out JsonElement list) && list.ValueKind == JsonValueKind.Array ? [.. list.EnumerateArray()] : [root];
            if (items.Length == 0)
            {
                throw new GroundDataException($"{name}: it lists no item; give a collection of STAC items (type FeatureCollection).");
            }

            return new TileCatalogue([.. items.Select((item, i) => (Box(item, i + 1, name), Asset(item, i + 1, name, folder)))]);
        }
        catch (JsonException e)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: it is not JSON (line {(e.LineNumber ?? 0) + 1}); give a collection of STAC items."), e);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new GroundDataException($"{path}: the list of elevation files cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }

    /// <summary>The files that cover ground in a window, in the order of the list; none where it lists none there.</summary>
    /// <param name="window">The ground wanted, with its margin.</param>
    public IReadOnlyList<string> In(GroundWindow window)
    {
        ArgumentNullException.ThrowIfNull(window);
        Envelope wanted = window.Widened();

        // A box may lie on the other side of the 180th meridian from where the window is counted.
        return [.. _tiles.Where(t => Enumerable.Range(-1, 3).Any(turn => t.Box.MinX + (360 * turn) <= wanted.MaxX && t.Box.MaxX + (360 * turn) >= wanted.MinX) && t.Box.MinY <= wanted.MaxY && t.Box.MaxY >= wanted.MinY).Select(t => t.Path)];
    }

    private static Envelope Box(JsonElement item, int number, string name)
    {
        if (item.ValueKind == JsonValueKind.Object && item.TryGetProperty("bbox", out JsonElement box) && box.ValueKind == JsonValueKind.Array && box.GetArrayLength() is 4 or 6)
        {
            double[] corner = [.. box.EnumerateArray().Select(v => v.ValueKind == JsonValueKind.Number && v.TryGetDouble(out double d) ? d : double.NaN)];
            int half = corner.Length / 2;
            double east = corner[half] < corner[0] ? corner[half] + 360 : corner[half];
            if (corner.All(double.IsFinite) && Math.Abs(corner[0]) <= 180 && east - corner[0] <= 360 && corner[1] >= -90 && corner[half + 1] <= 90 && corner[1] <= corner[half + 1])
            {
                return new Envelope(corner[0], east, corner[1], corner[half + 1]);
            }
        }

        throw new GroundDataException(FormattableString.Invariant($"{name}: item {number} has no proper bbox (west, south, east, north in degrees); write its list again."));
    }

    private static string Asset(JsonElement item, int number, string name, string folder)
    {
        JsonProperty[] assets = item.TryGetProperty("assets", out JsonElement all) && all.ValueKind == JsonValueKind.Object
            ? [.. all.EnumerateObject().Where(a => a.Value.ValueKind == JsonValueKind.Object && a.Value.TryGetProperty("href", out JsonElement href) && href.ValueKind == JsonValueKind.String)]
            : [];
        JsonProperty[] chosen = [.. Named.SelectMany(n => assets.Where(a => a.Name == n)).Take(1)];
        chosen = chosen.Length > 0 ? chosen : [.. assets.Where(a => a.Value.TryGetProperty("roles", out JsonElement roles) && roles.ValueKind == JsonValueKind.Array && roles.EnumerateArray().Any(r => r.ValueKind == JsonValueKind.String && r.GetString() == "data"))];
        chosen = chosen.Length > 0 ? chosen : assets;
        if (chosen.Length != 1)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: item {number} has {(chosen.Length == 0 ? "no asset with a file" : "several assets")}; name the elevation's asset dem."));
        }

        string href = chosen[0].Value.GetProperty("href").GetString()!;
        if (Uri.TryCreate(href, UriKind.Absolute, out Uri? address) && !address.IsFile)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: item {number} lies at {address.Scheme}: nothing is fetched from a network; download it and name the file."));
        }

        return address is { IsFile: true } ? address.LocalPath : Path.GetFullPath(Path.Combine(folder, href));
    }
}

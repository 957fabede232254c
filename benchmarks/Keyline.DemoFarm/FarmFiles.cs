using System.Globalization;
using System.Text.Json;
using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.DemoFarm;

/// <summary>Writes the demo farm's files.</summary>
public static class FarmFiles
{
    private const int TileSize = 128;
    private const TiffTag PixelScale = (TiffTag)33550;
    private const TiffTag TiePoint = (TiffTag)33922;
    private const TiffTag GeoKeyDirectory = (TiffTag)34735;

    private static readonly JsonWriterOptions Indented = new() { Indented = true, NewLine = "\n" };

    /// <summary>Writes dem.tif, field.geojson, avoid.geojson, and the soil's files.</summary>
    /// <param name="folder">Where to; made if it is not there.</param>
    public static void Write(string folder)
    {
        Directory.CreateDirectory(folder);
        WriteDem(Path.Combine(folder, "dem.tif"), FarmGround.Make());
        GroundCrs crs = GroundCrs.FromEpsg(FarmGround.Epsg);
        WriteFeatures(Path.Combine(folder, "field.geojson"), crs, [Named("Three Hollows", null, true, FarmShapes.Field)]);
        WriteFeatures(Path.Combine(folder, "avoid.geojson"), crs,
        [
            Named("dam", 10, true, FarmShapes.Dam),
            Named("tree belt", 6, true, FarmShapes.Trees),
            Named("creek bank", 18, true, FarmShapes.Bank),
            Named("buried water pipe", 3, false, FarmShapes.Pipe),
        ]);
        FarmSoil.Write(folder);
    }

    // GeoTIFF: float32, tiles, deflate with the floating-point predictor, cells are areas, EPSG code in the GeoKeys.
    private static void WriteDem(string path, ElevationGrid ground)
    {
        Tiff.TiffExtendProc? parent = null;
        parent = Tiff.SetTagExtender(tiff =>
        {
            parent?.Invoke(tiff);
            tiff.MergeFieldInfo(
            [
                new TiffFieldInfo(PixelScale, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelPixelScale"),
                new TiffFieldInfo(TiePoint, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelTiepoint"),
                new TiffFieldInfo(GeoKeyDirectory, -1, -1, TiffType.SHORT, FieldBit.Custom, true, true, "GeoKeyDirectory"),
            ], 3);
        });
        GridFrame frame = ground.Frame;
        using Tiff tiff = Tiff.Open(path, "w") ?? throw new IOException($"Cannot write {path}.");
        tiff.SetField(TiffTag.IMAGEWIDTH, frame.Columns);
        tiff.SetField(TiffTag.IMAGELENGTH, frame.Rows);
        tiff.SetField(TiffTag.BITSPERSAMPLE, 32);
        tiff.SetField(TiffTag.SAMPLESPERPIXEL, 1);
        tiff.SetField(TiffTag.SAMPLEFORMAT, SampleFormat.IEEEFP);
        tiff.SetField(TiffTag.PHOTOMETRIC, Photometric.MINISBLACK);
        tiff.SetField(TiffTag.PLANARCONFIG, PlanarConfig.CONTIG);
        tiff.SetField(TiffTag.COMPRESSION, Compression.ADOBE_DEFLATE);
        tiff.SetField(TiffTag.PREDICTOR, Predictor.FLOATINGPOINT);
        tiff.SetField(TiffTag.TILEWIDTH, TileSize);
        tiff.SetField(TiffTag.TILELENGTH, TileSize);
        tiff.SetField(PixelScale, 3, new double[] { frame.CellSize, frame.CellSize, 0 });
        tiff.SetField(TiePoint, 6, new double[] { 0, 0, 0, frame.West, frame.North, 0 });
        short[] keys = [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, (short)FarmGround.Epsg];
        tiff.SetField(GeoKeyDirectory, keys.Length, keys);
        float[] tile = new float[TileSize * TileSize];
        byte[] bytes = new byte[tile.Length * sizeof(float)];
        for (int top = 0; top < frame.Rows; top += TileSize)
        {
            for (int left = 0; left < frame.Columns; left += TileSize)
            {
                // Beyond the grid a tile repeats the nearest cell, which packs best.
                for (int r = 0; r < TileSize; r++)
                {
                    ReadOnlySpan<float> row = ground.Row(Math.Min(top + r, frame.Rows - 1));
                    for (int c = 0; c < TileSize; c++)
                    {
                        tile[(r * TileSize) + c] = row[Math.Min(left + c, frame.Columns - 1)];
                    }
                }

                Buffer.BlockCopy(tile, 0, bytes, 0, bytes.Length);
                tiff.WriteEncodedTile(tiff.ComputeTile(left, top, 0, 0), bytes, bytes.Length);
            }
        }
    }

    /// <summary>Writes features, each with its properties and its outline in metres from the south-west corner of the ground.</summary>
    internal static void WriteFeatures(string path, GroundCrs crs, IEnumerable<(Action<Utf8JsonWriter> Properties, bool Area, (double X, double Y)[] Points)> features)
    {
        using FileStream stream = File.Create(path);
        using Utf8JsonWriter json = new(stream, Indented);
        json.WriteStartObject();
        json.WriteString("type", "FeatureCollection");
        json.WriteStartArray("features");
        foreach ((Action<Utf8JsonWriter> properties, bool area, (double X, double Y)[] points) in features)
        {
            string outline = string.Join(',', (area ? points.Append(points[0]) : points).Select(p => $"[{Place(crs, p.X, p.Y)}]"));
            json.WriteStartObject();
            json.WriteString("type", "Feature");
            json.WriteStartObject("properties");
            properties(json);
            json.WriteEndObject();
            json.WriteStartObject("geometry");
            json.WriteString("type", area ? "Polygon" : "LineString");
            json.WritePropertyName("coordinates");
            json.WriteRawValue(area ? $"[[{outline}]]" : $"[{outline}]");
            json.WriteEndObject();
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        stream.WriteByte((byte)'\n');
    }

    /// <summary>Longitude and latitude of a place, parted by a comma.</summary>
    internal static string Place(GroundCrs crs, double x, double y)
    {
        (double longitude, double latitude) = crs.ToLonLat(FarmGround.West + x, FarmGround.South + y);
        return string.Create(CultureInfo.InvariantCulture, $"{longitude:F7},{latitude:F7}");
    }

    private static (Action<Utf8JsonWriter> Properties, bool Area, (double X, double Y)[] Points) Named(string name, double? setback, bool area, (double X, double Y)[] points) => (
        json =>
        {
            json.WriteString("name", name);
            if (setback is double metres)
            {
                json.WriteNumber("setback_m", metres);
            }
        },
        area,
        points);
}

using System.Globalization;
using System.Text;
using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>The tags of a written GeoTIFF: layout, place, coordinate system, what is missing.</summary>
internal static class GeoTiffTags
{
    private const TiffTag PixelScale = (TiffTag)33550;
    private const TiffTag TiePoint = (TiffTag)33922;
    private const TiffTag KeyDirectory = (TiffTag)34735;
    private const TiffTag KeyTexts = (TiffTag)34737;
    private const TiffTag NoData = (TiffTag)42113;

    private const int UserDefined = 32767;
    private const int MetreCode = 9001;

    private static readonly TiffFieldInfo[] Fields =
    [
        new(PixelScale, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelPixelScale"),
        new(TiePoint, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelTiepoint"),
        new(KeyDirectory, -1, -1, TiffType.SHORT, FieldBit.Custom, true, true, "GeoKeyDirectory"),
        new(KeyTexts, -1, -1, TiffType.ASCII, FieldBit.Custom, true, false, "GeoAsciiParams"),
        new(NoData, -1, -1, TiffType.ASCII, FieldBit.Custom, true, false, "GDAL_NODATA"),
    ];

    public static void Set<T>(Tiff tiff, GridFrame frame, GroundCrs crs, TileCoder<T> coder, GeoTiffWriteOptions options)
        where T : unmanaged
    {
        tiff.MergeFieldInfo(Fields, Fields.Length);
        tiff.SetField(TiffTag.IMAGEWIDTH, frame.Columns);
        tiff.SetField(TiffTag.IMAGELENGTH, frame.Rows);
        tiff.SetField(TiffTag.BITSPERSAMPLE, 8 * coder.Size);
        tiff.SetField(TiffTag.SAMPLESPERPIXEL, 1);
        tiff.SetField(TiffTag.SAMPLEFORMAT, coder.Format);
        tiff.SetField(TiffTag.PHOTOMETRIC, Photometric.MINISBLACK);
        tiff.SetField(TiffTag.PLANARCONFIG, PlanarConfig.CONTIG);
        tiff.SetField(TiffTag.COMPRESSION, Compression.ADOBE_DEFLATE);
        tiff.SetField(TiffTag.PREDICTOR, (Predictor)coder.Predictor);
        tiff.SetField(TiffTag.TILEWIDTH, GeoTiffWriter.TileSide);
        tiff.SetField(TiffTag.TILELENGTH, GeoTiffWriter.TileSide);
        tiff.SetField(TiffTag.SOFTWARE, options.Software ?? "Keyline " + PlanProvenance.LibraryVersion);
        if (options.Description is { Length: > 0 } description)
        {
            tiff.SetField(TiffTag.IMAGEDESCRIPTION, description);
        }

        double unit = crs.MetresPerUnit;
        tiff.SetField(PixelScale, 3, new[] { frame.CellSize / unit, frame.CellSize / unit, 0 });
        tiff.SetField(TiePoint, 6, new[] { 0, 0, 0, frame.West / unit, frame.North / unit, 0 });
        string? missing = coder.IsWhole ? options.MissingValue?.ToString(CultureInfo.InvariantCulture) : "nan";
        if (missing is not null)
        {
            tiff.SetField(NoData, missing);
        }

        SetKeys(tiff, crs, options.AreHeights);
    }

    private static void SetKeys(Tiff tiff, GroundCrs crs, bool heights)
    {
        StringBuilder texts = new();
        List<short> keys = [1, 1, 1, 0];
        void Short(int key, int value) => keys.AddRange([(short)key, 0, 1, (short)value]);
        void Text(int key, string text)
        {
            // A bar ends a text here, and letters beyond ASCII are not allowed.
            string plain = new([.. text.Select(ch => ch is > '\x7e' or < ' ' or '|' ? '?' : ch)]);
            keys.AddRange([(short)key, unchecked((short)34737), (short)(plain.Length + 1), (short)texts.Length]);
            texts.Append(plain).Append('|');
        }

        Short(1024, crs.IsGeographic ? 2 : 1);
        Short(1025, 1);
        if (crs.EpsgCode is int code and > 0 and < UserDefined)
        {
            Short(crs.IsGeographic ? 2048 : 3072, code);
        }
        else
        {
            Short(crs.IsGeographic ? 2048 : 3072, UserDefined);
            Text(crs.IsGeographic ? 2049 : 3073, "ESRI PE String = " + crs.Wkt);
        }

        if (heights)
        {
            Short(4099, MetreCode);
        }

        keys[3] = (short)((keys.Count / 4) - 1);
        tiff.SetField(KeyDirectory, keys.Count, keys.ToArray());
        if (texts.Length > 0)
        {
            tiff.SetField(KeyTexts, texts.ToString());
        }
    }
}

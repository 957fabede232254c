using System.Globalization;
using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>The tags of a written GeoTIFF: layout, place, coordinate system, what is missing.</summary>
internal static class GeoTiffTags
{
    private const TiffTag PixelScale = (TiffTag)33550;
    private const TiffTag TiePoint = (TiffTag)33922;
    private const TiffTag KeyDirectory = (TiffTag)34735;
    private const TiffTag KeyNumbers = (TiffTag)34736;
    private const TiffTag KeyTexts = (TiffTag)34737;
    private const TiffTag NoData = (TiffTag)42113;

    private static readonly TiffFieldInfo[] Fields =
    [
        new(PixelScale, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelPixelScale"),
        new(TiePoint, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "ModelTiepoint"),
        new(KeyDirectory, -1, -1, TiffType.SHORT, FieldBit.Custom, true, true, "GeoKeyDirectory"),
        new(KeyNumbers, -1, -1, TiffType.DOUBLE, FieldBit.Custom, true, true, "GeoDoubleParams"),
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
        GeoKeyList keys = new();
        keys.Short(1024, crs.IsGeographic ? 2 : 1);
        keys.Short(1025, 1);
        if (crs.EpsgCode is int code and > 0 and < GeoKeyList.UserDefined)
        {
            keys.Short(crs.IsGeographic ? 2048 : 3072, code);
        }
        else
        {
            keys.Describe(crs);
        }

        if (heights)
        {
            keys.Short(4099, GeoKeyList.MetreCode);
        }

        short[] table = keys.Table();
        tiff.SetField(KeyDirectory, table.Length, table);
        if (keys.Numbers.Length > 0)
        {
            tiff.SetField(KeyNumbers, keys.Numbers.Length, keys.Numbers);
        }

        if (keys.Texts.Length > 0)
        {
            tiff.SetField(KeyTexts, keys.Texts);
        }
    }
}

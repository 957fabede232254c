using System.Globalization;
using System.Xml;
using System.Xml.Linq;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Reads the elevation band of a GeoTIFF.</summary>
/// <remarks>
/// <para>Units: heights come out in metres; the unit is taken from the caller, the vertical keys, the band's own unit, in
/// that order, and is metres where all are silent and the coordinates are metres.</para>
/// <para>Missing: the nodata value (compared before scale and offset), masked cells, cells whose alpha is 0, blocks never
/// written, NaN, infinities, and sizes above 1e30, which are nodata values written inexactly.</para>
/// <para>Source: TIFF 6.0; OGC 19-008r4 (GeoTIFF 1.1); the GDAL_METADATA (42112) and GDAL_NODATA (42113) tags as GDAL
/// writes them.</para>
/// </remarks>
internal static class GeoTiffReader
{
    private const int PixelScaleTag = 33550;
    private const int TiePointTag = 33922;
    private const int TransformationTag = 34264;

    /// <summary>Reads the header, and leaves the heights to be read a window at a time.</summary>
    /// <exception cref="InvalidDataException">The TIFF is damaged or stored in a way not read here.</exception>
    /// <exception cref="GroundDataException">It can be decoded but not used.</exception>
    public static RawFile Open(Stream stream, string name, Sidecars beside, ElevationReadOptions options)
    {
        DescribedTiff tiff = Describe(stream, name, beside, options, options.Window is null ? options.MaximumCells : long.MaxValue);
        if (tiff.Image.Samples > 1)
        {
            tiff.Notes.Add(FormattableString.Invariant($"The file has {tiff.Image.Samples} bands; band {options.Band} was read as elevation."));
        }

        return new GeoTiffFile(stream, tiff) { Name = name, Rows = tiff.Image.Rows, Columns = tiff.Image.Columns, Mapping = tiff.Mapping, Crs = tiff.Crs, Notes = tiff.Notes, VerticalDatum = tiff.VerticalDatum };
    }

    /// <summary>Reads all but the heights.</summary>
    public static DescribedTiff Describe(Stream stream, string name, Sidecars beside, ElevationReadOptions options, long maximumCells)
    {
        IReadOnlyList<TiffDirectory> all = TiffDirectory.ReadAll(stream);
        TiffDirectory main = all.FirstOrDefault(d => (d.Integer(254, 0) & 5) == 0 && d.Integer(255, 1) != 2)
            ?? throw new InvalidDataException("it holds only reduced images and masks");
        TiffImage image = TiffImage.Read(main, stream.Length, maximumCells);
        if (options.Band > image.Samples)
        {
            throw new InvalidDataException(FormattableString.Invariant($"it has {image.Samples} {(image.Samples == 1 ? "band" : "bands")} and band {options.Band} was asked for"));
        }

        List<string> notes = [];
        BandReading band = ReadBand(main, image, options);
        (CellMapping mapping, GroundCrs crs) = Place(main, image, name, beside, options, notes, out GeoKeys keys);
        double unit = HeightUnit(main, keys, crs, band, name, options, notes);
        return new DescribedTiff(image, MaskOf(all, image, stream.Length, maximumCells), band with { Unit = unit }, mapping, crs, notes, keys.VerticalDatum);
    }

    private static TiffImage? MaskOf(IReadOnlyList<TiffDirectory> all, TiffImage image, long length, long maximumCells)
    {
        foreach (TiffDirectory d in all)
        {
            if ((d.Integer(254, 0) & 5) == 4 && d.Integer(256, 0) == image.Columns && d.Integer(257, 0) == image.Rows)
            {
                TiffImage mask = TiffImage.Read(d, length, maximumCells);
                return mask is { Bits: 1 or 8, Samples: 1 } ? mask : throw new UnreadFormatException("its mask is stored in a way that is not read here");
            }
        }

        return null;
    }

    private static BandReading ReadBand(TiffDirectory tags, TiffImage image, ElevationReadOptions options)
    {
        double scale = 1, offset = 0;
        string unit = "";
        string metadata = tags.Text(42112);
        if (metadata.Length > 0)
        {
            foreach (XElement item in ParseItems(metadata))
            {
                if ((string?)item.Attribute("sample") != (options.Band - 1).ToString(CultureInfo.InvariantCulture))
                {
                    continue;
                }

                switch ((string?)item.Attribute("role"))
                {
                    case "scale": scale = Number(item.Value, 1); break;
                    case "offset": offset = Number(item.Value, 0); break;
                    case "unittype": unit = item.Value; break;
                }
            }
        }

        string nodata = tags.Text(42113).Trim();
        double? missing = nodata.Length > 0 && double.TryParse(nodata, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) ? v : null;

        // The alpha band, if any, is the extra sample marked 1 or 2.
        long[] extra = tags.Integers(338);
        int alpha = -1;
        for (int i = 0; i < extra.Length; i++)
        {
            int sample = image.Samples - extra.Length + i;
            alpha = extra[i] is 1 or 2 && sample != options.Band - 1 ? sample : alpha;
        }

        return new BandReading(options.Band - 1, alpha, scale, offset, missing, options.MissingValue, unit, 1.0);
    }

    private static IEnumerable<XElement> ParseItems(string metadata)
    {
        try
        {
            return XDocument.Parse(metadata).Root?.Elements("Item") ?? [];
        }
        catch (XmlException)
        {
            throw new InvalidDataException("its GDAL_METADATA tag is damaged, and the scale of its heights may stand in it");
        }
    }

    private static (CellMapping Mapping, GroundCrs Crs) Place(TiffDirectory tags, TiffImage image, string name, Sidecars beside, ElevationReadOptions options, List<string> notes, out GeoKeys keys)
    {
        keys = GeoKeys.Read(tags);
        GroundCrs? crs = options.Crs;
        if (crs is null)
        {
            try
            {
                crs = keys.ToCrs() ?? (beside.Prj() is { } prj ? GroundCrs.FromWkt(prj) : null);
            }
            catch (GroundDataException e)
            {
                throw new GroundDataException($"{name}: {e.Message}", e) { Fault = GroundDataFault.CoordinateSystem };
            }
        }

        if (crs is null)
        {
            throw new GroundDataException($"{name}: it does not say which coordinate system (CRS) it is in; say so when reading it, such as EPSG:32610, or put a .prj file beside it.");
        }

        double[] matrix = tags.Doubles(TransformationTag), scale = tags.Doubles(PixelScaleTag), tie = tags.Doubles(TiePointTag);
        CellMapping map;
        if (matrix.Length == 16)
        {
            map = new CellMapping(matrix[3], matrix[0], matrix[1], matrix[7], matrix[4], matrix[5]);
        }
        else if (scale.Length >= 2 && tie.Length >= 6)
        {
            if (!(scale[0] > 0) || scale[1] == 0 || !double.IsFinite(scale[0]) || !double.IsFinite(scale[1]))
            {
                throw new GroundDataException($"{name}: its cell size is {(scale[0] == 0 || scale[1] == 0 ? "0" : "not a number above 0")}; export the elevation again with its georeference.");
            }

            if (scale[1] < 0)
            {
                notes.Add("The file gives its cell height below 0; it was taken as above 0, with the first row in the north.");
            }

            double dy = -Math.Abs(scale[1]);
            map = new CellMapping(tie[3] - (tie[0] * scale[0]), scale[0], 0, tie[4] - (tie[1] * dy), 0, dy);
        }
        else if (beside.World() is { } world)
        {
            notes.Add("The place of the cells was read from the world file beside it.");
            return (world.FromCentres().Times(crs.IsGeographic ? 1 : crs.MetresPerUnit), crs);
        }
        else
        {
            throw new GroundDataException($"{name}: it does not say where its cells lie{(tie.Length > 6 ? " except by control points" : "")}; export the elevation again as a GeoTIFF with its georeference.");
        }

        if (keys.IsPoint)
        {
            map = map.FromCentres();
            notes.Add("The file's coordinates name cell centres (PixelIsPoint); cells were placed half a cell to the north-west of them.");
        }

        return (map.Times(CoordinateUnit(keys, crs, options, notes)), crs);
    }

    private static double CoordinateUnit(GeoKeys keys, GroundCrs crs, ElevationReadOptions options, List<string> notes)
    {
        if (crs.IsGeographic)
        {
            return 1.0;
        }

        double own = crs.MetresPerUnit, said = keys.MetresPerUnit;
        double unit = options.Crs is null && said > 0 ? said : own;
        if (!LengthUnits.Same(unit, own))
        {
            notes.Add($"{crs.Name} is in {LengthUnits.NameOf(own)} units, but the file says its coordinates are in {LengthUnits.NameOf(unit)} units; the file was believed.");
        }
        else if (!LengthUnits.Same(unit, 1.0))
        {
            notes.Add($"Coordinates were turned from {LengthUnits.NameOf(unit)} units into metres.");
        }

        return unit;
    }

    private static double HeightUnit(TiffDirectory tags, GeoKeys keys, GroundCrs crs, BandReading band, string name, ElevationReadOptions options, List<string> notes)
    {
        double unit = options.MetresPerHeightUnit ?? keys.MetresPerHeightUnit;
        unit = double.IsNaN(unit) ? LengthUnits.FromName(band.UnitName) : unit;
        if (double.IsNaN(unit))
        {
            double across = crs.IsGeographic || options.Crs is not null || double.IsNaN(keys.MetresPerUnit) ? crs.MetresPerUnit : keys.MetresPerUnit;
            if (!LengthUnits.Same(across, 1.0))
            {
                throw new GroundDataException($"{name}: its coordinates are in {LengthUnits.NameOf(across)} units and it does not say what unit its heights are in; say whether heights are metres or feet.");
            }

            notes.Add(AssumedMetres.Note);
            return 1.0;
        }

        if (!LengthUnits.Same(unit, 1.0))
        {
            notes.Add($"Heights were turned from {LengthUnits.NameOf(unit)} units into metres.");
        }

        return unit;
    }

    private static double Number(string text, double otherwise) =>
        double.TryParse(text.Trim(), NumberStyles.Float, CultureInfo.InvariantCulture, out double v) && double.IsFinite(v) ? v : otherwise;
}

/// <summary>A GeoTIFF whose header has been read.</summary>
internal sealed class GeoTiffFile(Stream stream, DescribedTiff tiff) : RawFile
{
    public override float[] Read(CellRange range, CancellationToken cancellationToken)
    {
        float[] heights = TiffHeights.Read(stream, tiff.Image, tiff.Band, range, cancellationToken);
        if (tiff.Mask is not null)
        {
            TiffHeights.ApplyMask(stream, tiff.Mask, range, heights, cancellationToken);
        }

        return heights;
    }
}

/// <summary>What a GeoTIFF says of its elevation band.</summary>
internal sealed record DescribedTiff(TiffImage Image, TiffImage? Mask, BandReading Band, CellMapping Mapping, GroundCrs Crs, List<string> Notes, string? VerticalDatum);

/// <summary>How the elevation band's numbers become heights.</summary>
/// <param name="Sample">The band, from 0.</param>
/// <param name="Alpha">The band whose 0 means missing, or -1.</param>
/// <param name="Scale">What a number is multiplied by.</param>
/// <param name="Offset">What is added after.</param>
/// <param name="Missing">The file's nodata value.</param>
/// <param name="AlsoMissing">A further one the caller gave.</param>
/// <param name="UnitName">Unit the band names; may be empty.</param>
/// <param name="Unit">Metres in one unit of height.</param>
internal sealed record BandReading(int Sample, int Alpha, double Scale, double Offset, double? Missing, double? AlsoMissing, string UnitName, double Unit);

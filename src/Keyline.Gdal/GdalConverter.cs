using System.Globalization;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Gdal;

/// <summary>Brings what GDAL reads into the forms that Keyline reads: rasters into GeoTIFF, shapes into GeoJSON.</summary>
/// <remarks>
/// <para>Units: as in the file; Keyline's own readers turn them into metres and say so.</para>
/// <para>Promises: heights are copied as they are unless their coordinate system has to be changed, which is done by bilinear
/// interpolation to the WGS 84 UTM zone of the middle, with the datum shift PROJ thinks best. Only the window is
/// converted. Nothing is written to disk.</para>
/// <para>Cost: the window in memory, twice.</para>
/// </remarks>
public sealed class GdalConverter : IElevationConverter
{
    private const int Wgs84 = 4326;
    private const int LongitudeFirst = 0;
    private const int Steps = 8;

    /// <inheritdoc/>
    public Stream Convert(string path, GroundWindow? window, bool toUtm, CancellationToken cancellationToken)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        GdalLibrary.Need(path);
        cancellationToken.ThrowIfCancellationRequested();
        return Quietly(() =>
        {
            using GdalDataset source = GdalDataset.Open(path, vector: false);
            string copy = GdalDataset.MemoryName(".tif"), moved = GdalDataset.MemoryName(".tif");
            try
            {
                Native.CPLSetThreadLocalConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES");
                List<string> words = ["-of", "GTiff", "-co", "BIGTIFF=IF_SAFER"];
                words.AddRange(toUtm ? ["-ot", "Float32", "-unscale"] : []);
                
                // A file that does not say where it is can only be taken whole.
                bool placed = Native.GDALGetSpatialRef(source.Handle) != 0;
                words.AddRange(window is null || !placed ? [] : Part(source, window));
                GdalDataset made = source.Translate(copy, [.. words]);
                if (!toUtm)
                {
                    made.Dispose();
                    return GdalDataset.Take(copy, source.Name);
                }

                using (made)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    Point middle = Middle(made, source.Name);
                    int zone = GroundCrs.UtmAt(middle.X, Math.Clamp(middle.Y, -80, 84)).EpsgCode!.Value;
                    using GdalDataset warped = made.Warp(moved, "-of", "GTiff", "-t_srs", FormattableString.Invariant($"EPSG:{zone}"), "-r", "bilinear", "-dstnodata", "nan");
                    for (int band = 1; band <= Native.GDALGetRasterCount(warped.Handle); band++)
                    {
                        nint unit = Native.GDALGetRasterUnitType(Native.GDALGetRasterBand(source.Handle, band));
                        _ = Native.GDALSetRasterUnitType(Native.GDALGetRasterBand(warped.Handle, band), unit);
                    }
                }

                return GdalDataset.Take(moved, source.Name);
            }
            finally
            {
                Native.CPLSetThreadLocalConfigOption("GDAL_TIFF_INTERNAL_MASK", null);
                _ = Native.VSIUnlink(copy);
                _ = Native.VSIUnlink(moved);
            }
        });
    }

    /// <summary>Shapes of a file as GeoJSON in WGS 84 longitude and latitude, with their attributes as properties.</summary>
    /// <param name="path">A file or folder with one layer of shapes.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>GeoJSON (RFC 7946), in UTF-8.</returns>
    /// <exception cref="GroundDataException">GDAL is absent, cannot read it, or it has no or several layers.</exception>
    public static Stream ToGeoJson(string path, CancellationToken cancellationToken = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        GdalLibrary.Need(path);
        cancellationToken.ThrowIfCancellationRequested();
        return Quietly(() =>
        {
            using GdalDataset source = GdalDataset.Open(path, vector: true);
            int layers = Native.GDALDatasetGetLayerCount(source.Handle);
            if (layers != 1)
            {
                IEnumerable<string> names = Enumerable.Range(0, Math.Min(layers, Steps)).Select(i => GdalLibrary.Text(Native.OGR_L_GetName(Native.GDALDatasetGetLayer(source.Handle, i))));
                throw new GroundDataException(layers == 0
                    ? $"{source.Name}: it holds no layer of shapes; give another file."
                    : FormattableString.Invariant($"{source.Name}: it holds {layers} layers ({string.Join(", ", names)}); save the one that is wanted in a file of its own."));
            }

            string target = GdalDataset.MemoryName(".geojson");
            try
            {
                source.VectorTranslate(target, "-f", "GeoJSON", "-t_srs", FormattableString.Invariant($"EPSG:{Wgs84}"), "-lco", "RFC7946=YES", "-lco", "COORDINATE_PRECISION=9").Dispose();
                return GdalDataset.Take(target, source.Name);
            }
            finally
            {
                _ = Native.VSIUnlink(target);
            }
        });
    }

    private static T Quietly<T>(Func<T> work)
    {
        Native.Quiet();
        try
        {
            return work();
        }
        finally
        {
            Native.CPLPopErrorHandler();
        }
    }

    // The cells of the window, none outside the raster: GDAL would make up heights of 0 there.
    private static string[] Part(GdalDataset source, GroundWindow window)
    {
        Envelope box = window.Widened();
        List<double> x = [], y = [];
        for (int i = 0; i <= Steps; i++)
        {
            for (int j = 0; j <= Steps; j++)
            {
                x.Add(box.MinX + (box.Width * i / Steps));
                y.Add(box.MinY + (box.Height * j / Steps));
            }
        }

        double[] six = Place(source);
        (double[] px, double[] py) = ([.. x], [.. y]);
        Move(source, px, py, toLonLat: false);
        double det = (six[1] * six[5]) - (six[2] * six[4]);
        double left = double.PositiveInfinity, top = left, right = double.NegativeInfinity, bottom = right;
        for (int i = 0; i < px.Length; i++)
        {
            double dx = px[i] - six[0], dy = py[i] - six[3];
            double column = ((six[5] * dx) - (six[2] * dy)) / det, row = ((six[1] * dy) - (six[4] * dx)) / det;
            (left, right, top, bottom) = (Math.Min(left, column), Math.Max(right, column), Math.Min(top, row), Math.Max(bottom, row));
        }

        int columns = Native.GDALGetRasterXSize(source.Handle), rows = Native.GDALGetRasterYSize(source.Handle);
        int west = (int)Math.Clamp(Math.Floor(left) - 2, 0, columns), north = (int)Math.Clamp(Math.Floor(top) - 2, 0, rows);
        int east = (int)Math.Clamp(Math.Ceiling(right) + 2, 0, columns), south = (int)Math.Clamp(Math.Ceiling(bottom) + 2, 0, rows);
        return east > west && south > north
            ? ["-srcwin", Whole(west), Whole(north), Whole(east - west), Whole(south - north)]
            : throw new GroundDataException($"{source.Name}: it has no ground at the field; give the elevation of the field, or check its coordinate system.");

        static string Whole(int v) => v.ToString(CultureInfo.InvariantCulture);
    }

    private static Point Middle(GdalDataset raster, string name)
    {
        double[] six = Place(raster);
        double c = Native.GDALGetRasterXSize(raster.Handle) / 2.0, r = Native.GDALGetRasterYSize(raster.Handle) / 2.0;
        double[] x = [six[0] + (c * six[1]) + (r * six[2])], y = [six[3] + (c * six[4]) + (r * six[5])];
        Move(raster, x, y, toLonLat: true);
        return double.IsFinite(x[0]) && double.IsFinite(y[0]) ? new Point(x[0], y[0]) : throw GdalDataset.Failed(name, "its place cannot be told");
    }

    private static double[] Place(GdalDataset raster)
    {
        double[] six = new double[6];
        return Native.GDALGetGeoTransform(raster.Handle, six) == 0 ? six : throw new GroundDataException($"{raster.Name}: it does not say where its cells lie; export the elevation again with its georeference.");
    }

    private static void Move(GdalDataset raster, double[] x, double[] y, bool toLonLat)
    {
        nint own = Native.GDALGetSpatialRef(raster.Handle);
        if (own == 0)
        {
            throw new GroundDataException($"{raster.Name}: it does not say which coordinate system (CRS) it is in; say so when reading it, such as EPSG:32610.");
        }

        nint lonLat = Native.OSRNewSpatialReference(0), way = 0;
        try
        {
            _ = Native.OSRImportFromEPSG(lonLat, Wgs84);
            Native.OSRSetAxisMappingStrategy(lonLat, LongitudeFirst);
            way = toLonLat ? Native.OCTNewCoordinateTransformation(own, lonLat) : Native.OCTNewCoordinateTransformation(lonLat, own);
            if (way == 0 || Native.OCTTransform(way, x.Length, x, y, 0) == 0)
            {
                throw GdalDataset.Failed(raster.Name, "its coordinates cannot be brought to longitude and latitude");
            }
        }
        finally
        {
            if (way != 0)
            {
                Native.OCTDestroyCoordinateTransformation(way);
            }

            Native.OSRDestroySpatialReference(lonLat);
        }
    }
}

using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>The points of one line after the other, in longitude and latitude; used again for every line.</summary>
/// <remarks>Units: WGS 84 degrees, metres of height. Longitudes run past 180 rather than jump.</remarks>
internal sealed class LinePlaces(GroundCrs crs)
{
    private const double Rim = 180.0;

    /// <summary>Degrees east.</summary>
    public double[] Longitude { get; private set; } = [];

    /// <summary>Degrees north.</summary>
    public double[] Latitude { get; private set; } = [];

    /// <summary>Metres, NaN where it is not known.</summary>
    public double[] Height { get; private set; } = [];

    /// <summary>Number of points.</summary>
    public int Count { get; private set; }

    /// <summary>Whether the line crosses the 180th meridian.</summary>
    public bool Crosses { get; private set; }

    /// <summary>Whether every point has a height.</summary>
    public bool HasHeights { get; private set; }

    /// <summary>Takes a line.</summary>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public void Take(LineString line)
    {
        CoordinateSequence at = line.CoordinateSequence;
        Count = at.Count;
        if (Longitude.Length < Count)
        {
            (Longitude, Latitude, Height) = (new double[Count], new double[Count], new double[Count]);
        }

        bool west = false, east = false, heights = true;
        for (int i = 0; i < Count; i++)
        {
            double x = at.GetX(i), y = at.GetY(i);
            (double lon, double lat) = crs.ToLonLat(x, y);
            if (double.IsNaN(lon))
            {
                throw new GroundDataException(FormattableString.Invariant($"The place {x:F1}, {y:F1} m has no longitude and latitude in {crs.Name}; check that the elevation's coordinate system is the right one."));
            }

            lon = i > 0 ? Longitude[i - 1] + Math.IEEERemainder(lon - Longitude[i - 1], 2 * Rim) : lon;
            west |= lon < -Rim;
            east |= lon > Rim;
            (Longitude[i], Latitude[i], Height[i]) = (lon, lat, at.GetZ(i));
            heights &= double.IsFinite(Height[i]);
        }

        Crosses = west || east;
        HasHeights = heights;
    }

    /// <summary>A longitude from -180 to below 180, rounded to some decimals first.</summary>
    public static double Wrapped(double longitude, int decimals)
    {
        double turned = Math.Round(Antimeridian.Turn(longitude), decimals);
        return turned >= Rim ? -Rim : turned;
    }

    /// <summary>The line in longitude and latitude; in parts where it crosses the 180th meridian.</summary>
    public LineString[] Parts()
    {
        LineString whole = Sequence();
        return Crosses ? [.. FieldReader.Parts(Antimeridian.Cut(whole)).Cast<LineString>()] : [whole];
    }

    private LineString Sequence()
    {
        double[] packed = new double[3 * Count];
        for (int i = 0; i < Count; i++)
        {
            (packed[3 * i], packed[(3 * i) + 1], packed[(3 * i) + 2]) = (Longitude[i], Latitude[i], Height[i]);
        }

        return GeometryFactory.Default.CreateLineString(new NetTopologySuite.Geometries.Implementation.PackedDoubleCoordinateSequence(packed, 3, 0));
    }
}

/// <summary>Writes lines one after the other, made into text on all cores.</summary>
internal static class LineTexts
{
    // Enough lines at a time for a core to be busy for about a millisecond.
    private const int Batch = 32;

    /// <param name="stream">Where to.</param>
    /// <param name="lines">The lines in order.</param>
    /// <param name="crs">The system of their metres.</param>
    /// <param name="write">Adds the text of one line, whose number from 0 and places it gets.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    public static void Write(Stream stream, IReadOnlyList<GuidanceLine> lines, GroundCrs crs, Action<Utf8Text, GuidanceLine, int, LinePlaces> write, CancellationToken cancellationToken)
    {
        int workers = Environment.ProcessorCount;
        Utf8Text[] texts = [.. Enumerable.Range(0, workers).Select(_ => new Utf8Text())];
        LinePlaces[] places = [.. Enumerable.Range(0, workers).Select(_ => new LinePlaces(crs))];
        Exception?[] faults = new Exception?[workers];
        for (int start = 0; start < lines.Count; start += Batch * workers)
        {
            int from = start;
            cancellationToken.ThrowIfCancellationRequested();
            Parallel.For(0, workers, WorkThreads.Options(cancellationToken), w => Fill(w, from + (w * Batch)));
            for (int w = 0; w < workers; w++)
            {
                if (faults[w] is { } fault)
                {
                    System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(fault);
                }

                stream.Write(texts[w].Written);
            }
        }

        void Fill(int w, int first)
        {
            texts[w].Clear();
            try
            {
                for (int i = first; i < Math.Min(first + Batch, lines.Count); i++)
                {
                    places[w].Take(lines[i].Path);
                    write(texts[w], lines[i], i, places[w]);
                }
            }
            catch (GroundDataException e)
            {
                faults[w] = e;
            }
        }
    }
}

using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Reads survey shots and puts a surface through them.</summary>
internal static class SurveyReader
{
    private const int MostNamed = 10;

    // Further than any projected coordinate and any height, metres.
    private const double MostCoordinate = 1e9;
    private const double MostHeight = 1e5;

    /// <summary>Reads a table of shots.</summary>
    /// <exception cref="GroundDataException">It cannot be read, or makes no surface.</exception>
    public static RawFile Read(Stream stream, string name, Sidecars beside, ElevationReadOptions options, CancellationToken cancellationToken)
    {
        SurveyTable table = SurveyTable.Read(stream, name, cancellationToken);
        List<string> notes = [];
        if (!table.Has("height") && !table.Has("rod"))
        {
            throw new GroundDataException($"{name}: it has no column of heights; name it height_m or height_ft, or give rod readings as rod_m or rod_ft with a benchmark's height.");
        }

        bool degrees = table.Has("longitude") && table.Has("latitude");
        GroundCrs crs = degrees ? LocalCrs(table, name, options, notes) : PlaneCrs(name, beside, options);
        double[] heights = Heights(table, name, crs, degrees, options, notes);
        List<SurveyShot> shots = [];
        for (int i = 0; i < table.Rows.Count; i++)
        {
            if (Place(table, table.Rows[i], name, crs, degrees) is { } place)
            {
                if (!(Math.Abs(place.X) < MostCoordinate && Math.Abs(place.Y) < MostCoordinate && Math.Abs(heights[i]) < MostHeight))
                {
                    throw new GroundDataException(FormattableString.Invariant($"{name}: line {table.Rows[i].Line} is nowhere on the earth (height {heights[i]:G6} m); mend it or take it out."));
                }

                string shot = table.Text(table.Rows[i], "name");
                shots.Add(new SurveyShot(shot.Length > 0 ? shot : FormattableString.Invariant($"line {table.Rows[i].Line}"), place.X, place.Y, heights[i]));
            }
        }

        SurveyOptions how = options.Survey ?? new SurveyOptions();
        SurveySurface surface;
        try
        {
            surface = SurveySurface.Fit(shots, how with { MaximumCells = Math.Min(how.MaximumCells, options.MaximumCells) }, cancellationToken);
        }
        catch (GroundDataException e)
        {
            throw new GroundDataException($"{name}: {e.Message}", e);
        }

        Tell(surface, shots.Count, how, notes);
        GridFrame frame = surface.Ground.Frame;
        return new HeldFile
        {
            Name = name,
            Rows = frame.Rows,
            Columns = frame.Columns,
            Heights = surface.Ground.Heights.ToArray(),
            Mapping = new CellMapping(frame.West, frame.CellSize, 0, frame.North, 0, -frame.CellSize),
            Crs = crs,
            Notes = notes,
            Survey = surface,
        };
    }

    private static GroundCrs PlaneCrs(string name, Sidecars beside, ElevationReadOptions options)
    {
        // The unit of the heights is settled by the columns.
        GroundCrs crs = TextGround.Crs(name, "a survey with easting and northing", beside, options with { MetresPerHeightUnit = options.MetresPerHeightUnit ?? 1.0 }, []);
        return crs.IsGeographic
            ? throw new GroundDataException($"{name}: its columns are easting and northing, but {crs.Name} is in degrees; name the columns longitude and latitude, or give the projected system of the survey.")
            : crs;
    }

    private static GroundCrs LocalCrs(SurveyTable table, string name, ElevationReadOptions options, List<string> notes)
    {
        double[] lon = [.. table.Rows.Select(r => table.Number(r, "longitude")).OfType<double>()], lat = [.. table.Rows.Select(r => table.Number(r, "latitude")).OfType<double>()];
        if (lon.Length == 0 || lat.Length == 0 || lon.Any(v => Math.Abs(v) > 180) || lat.Any(v => Math.Abs(v) > 84))
        {
            throw new GroundDataException($"{name}: its longitudes and latitudes are not degrees of farmland; give longitude from -180 to 180 and latitude from -84 to 84.");
        }

        GroundCrs crs = options.Crs is { IsGeographic: false } given ? given : GroundCrs.UtmAt(lon[0] + lon.Average(v => Math.IEEERemainder(v - lon[0], 360)), Math.Max(-80, lat.Average()));
        notes.Add($"Longitudes and latitudes were taken as WGS 84 and brought to {crs.Name}.");
        return crs;
    }

    private static (double X, double Y)? Place(SurveyTable table, SurveyRow row, string name, GroundCrs crs, bool degrees)
    {
        (string across, string up) = degrees ? ("longitude", "latitude") : ("easting", "northing");
        double? x = table.Number(row, across), y = table.Number(row, up);
        if (x is null && y is null && table.Number(row, "height") is not null && table.Has("rod") && table.Number(row, "rod") is not null)
        {
            // A benchmark off the field.
            return null;
        }

        if (x is null || y is null)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: line {row.Line} has no {(x is null ? across : up)}; give it or take the line out."));
        }

        if (degrees)
        {
            (double east, double north) = crs.FromLonLat(x.Value, y.Value);
            return double.IsNaN(east) || double.IsNaN(north)
                ? throw new GroundDataException(FormattableString.Invariant($"{name}: line {row.Line} lies outside where {crs.Name} reaches; check its longitude and latitude."))
                : (east, north);
        }

        double unitX = table.Unit(across), unitY = table.Unit(up);
        return (x.Value * (double.IsNaN(unitX) ? crs.MetresPerUnit : unitX), y.Value * (double.IsNaN(unitY) ? crs.MetresPerUnit : unitY));
    }

    private static double[] Heights(SurveyTable table, string name, GroundCrs crs, bool degrees, ElevationReadOptions options, List<string> notes)
    {
        double height = UnitOf("height"), rod = UnitOf("rod");
        List<LevelReading> readings = table.Rows.ConvertAll(row => new LevelReading(
            row.Line,
            table.Text(row, "setup"),
            table.Text(row, "name"),
            table.Has("height") && table.Number(row, "height") is { } h && h != options.MissingValue ? h * height : null,
            table.Has("rod") ? table.Number(row, "rod") * rod : null));
        return LevelNotes.Heights(readings, name, notes);

        double UnitOf(string column)
        {
            if (!table.Has(column))
            {
                return 1.0;
            }

            double said = table.Unit(column);
            double unit = options.MetresPerHeightUnit ?? (!double.IsNaN(said) ? said
                : degrees || LengthUnits.Same(crs.MetresPerUnit, 1.0) ? 1.0
                : throw new GroundDataException($"{name}: its coordinates are in {LengthUnits.NameOf(crs.MetresPerUnit)} units and its column {column} does not say its unit; name it {column}_m, {column}_ft or {column}_ftUS."));
            if (!LengthUnits.Same(unit, 1.0))
            {
                notes.Add($"Its {column} was turned from {LengthUnits.NameOf(unit)} units into metres.");
            }

            return unit;
        }
    }

    private static void Tell(SurveySurface surface, int shots, SurveyOptions options, List<string> notes)
    {
        string way = surface.Method == SurveyMethod.Triangles ? "Triangles were laid between"
            : surface.Smoothing > 0 ? FormattableString.Invariant($"A thin plate was laid near (smoothing {surface.Smoothing:0.#####})")
            : "A thin plate was laid through";
        string miss = double.IsNaN(surface.RootMeanSquare) ? "no shot could be tried against the others"
            : FormattableString.Invariant($"shots left out one by one miss the surface of the others by {surface.MedianSize:0.00} m (median) and {surface.RootMeanSquare:0.00} m (root mean square)");
        notes.Add(FormattableString.Invariant($"{way} {surface.Residuals.Count} of {shots} shots, on cells of {surface.Ground.Frame.CellSize:0.##} m within their hull; {miss}."));
        if (surface.Suspects.Count > 0)
        {
            IEnumerable<string> named = surface.Suspects.Take(MostNamed).Select(s => FormattableString.Invariant($"{s.Shot.Name} ({s.Residual:+0.00;-0.00} m)"));
            notes.Add($"{(surface.Suspects.Count == 1 ? "One shot looks like a blunder and was" : FormattableString.Invariant($"{surface.Suspects.Count} shots look like blunders and were"))} {(options.KeepSuspects ? "kept" : "left out")}: {string.Join(", ", named)}{(surface.Suspects.Count > MostNamed ? " and more" : "")}; check them in the field book.");
        }

        if (surface.Repeated.Count > 0)
        {
            RepeatedShots worst = surface.Repeated.MaxBy(r => r.Spread)!;
            notes.Add(FormattableString.Invariant(
                $"{surface.Repeated.Count} {(surface.Repeated.Count == 1 ? "place was" : "places were")} shot more than once, with heights up to {worst.Spread:0.000} m apart ({string.Join(", ", worst.Shots.Take(MostNamed).Select(s => s.Name))}); the middle height was used."));
        }
    }
}

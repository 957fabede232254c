using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A field made ready once, to be laid out, compared and priced any number of times.</summary>
/// <remarks>
/// <para>Units: metres, percent. Missing: the field must lie on known ground; beyond it heights are continued.</para>
/// <para>Promises: same input, same survey, whatever the number of cores. Safe to use from several threads.</para>
/// <para>Cost: linear in the cells around each piece of the field. Holds about 40 bytes a cell of the ground around the field,
/// and what the patterns survey on it.</para>
/// <para>Source: the chain is described in docs/concepts.md; each stage names its papers.</para>
/// </remarks>
public sealed class FieldSurvey
{
    private const double LeastMargin = 40;
    private const double MostMargin = 80;

    private readonly Dictionary<Type, object> _kept = [];
    private readonly Lock _gate = new();

    private FieldSurvey(GroundReading reading, ElevationGrid? land, Grid<float> position, IReadOnlyList<LayoutRaster> rasters, WorkableGround work, FieldArea field, LayoutOptions options, double margin)
    {
        Reading = reading;
        Land = land;
        Position = position;
        Rasters = rasters;
        Work = work;
        Field = field;
        Options = options;
        Margin = margin;
        Keypoints = [.. reading.Landform.Keypoints.Where(k => k.Class == KeypointClass.Clear && field.Boundary.Covers(k.Location)).Select(k => new XY(k.Location.X, k.Location.Y))];
    }

    /// <summary>The ground around the field as delivered and smoothed, and the landform read from it.</summary>
    public GroundReading Reading { get; }

    /// <summary>The field.</summary>
    public FieldArea Field { get; }

    /// <summary>What is asked for.</summary>
    public LayoutOptions Options { get; }

    /// <summary>The field less headland, avoided areas with their setbacks, and steep land.</summary>
    public Geometry Workable => Work.Workable;

    /// <summary>Ground smoothed at the length of a machine.</summary>
    internal ElevationGrid? Land { get; }

    /// <summary>Position between valley and ridge, as of <see cref="DriftPosition"/>.</summary>
    internal Grid<float> Position { get; }

    /// <summary>Working cells: one raster for each group of the field's pieces that lie near each other.</summary>
    internal IReadOnlyList<LayoutRaster> Rasters { get; }

    internal WorkableGround Work { get; }

    /// <summary>How far around the field guides may run, metres.</summary>
    internal double Margin { get; }

    /// <summary>Clear keypoints in the field.</summary>
    internal IReadOnlyList<XY> Keypoints { get; }

    /// <summary>Surveys a field.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, in the grid's coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="landformOptions">What counts as a valley, a ridge and a keypoint, and keypoints flagged in the field; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The ground or the field cannot be used, or nothing in it can be worked; the message says why and what to do.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no layout can be made with.</exception>
    public static FieldSurvey Prepare(ElevationGrid ground, FieldArea field, LayoutOptions options, LandformOptions? landformOptions = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        FieldFit.Check(ground, field, options.Spacing);
        return Prepare(GroundReading.Around(ground, field.Boundary, options.Spacing, landformOptions, progress, cancellationToken), field, options, progress, cancellationToken);
    }

    /// <summary>Surveys a field whose ground has been read.</summary>
    /// <param name="reading">The ground around the field and its landform.</param>
    /// <param name="field">The field, in the same coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Nothing in the field can be worked.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no layout can be made with.</exception>
    public static FieldSurvey Prepare(GroundReading reading, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(reading);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        double margin = Math.Clamp(20 * options.Spacing, LeastMargin, MostMargin);
        IReadOnlyList<Geometry> groups = FieldGroups.Of(field.Boundary, margin);
        StageProgress stage = new(progress, "survey", 2 + groups.Count);
        Grid<float> position = DriftPosition.Compute(reading.Smoothed, reading.Landform, cancellationToken);
        stage.Step();
        List<LayoutRaster> rasters = [];
        List<WorkableGround> work = [];
        foreach (Geometry group in groups)
        {
            LayoutRaster raster = LayoutRaster.Create(reading.Ground, position, group.EnvelopeInternal, margin, options, cancellationToken);
            rasters.Add(raster);
            work.Add(WorkableGround.Create(raster.Frame, raster.LandSlope, group, field.Avoided, options.Headland, options.Limits.SteepestLand));
            stage.Step();
        }

        WorkableGround whole = WorkableGround.Join(work);
        if (whole.Workable.IsEmpty)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"Nothing in the field can be worked once the {options.Headland:F1} m headland, the avoided areas and land steeper than {options.Limits.SteepestLand:F0} % are left out: narrow the headland or raise the slope limit if that is safe."));
        }

        ElevationGrid? land = LayoutCheck.Land(reading.Ground, field.Boundary.EnvelopeInternal, cancellationToken);
        stage.Step();
        return new FieldSurvey(reading, land, position, rasters, whole, field, options, margin);
    }

    /// <summary>The working cells that a piece of the workable ground lies on.</summary>
    internal LayoutRaster RasterOf(Geometry area)
    {
        Coordinate middle = area.EnvelopeInternal.Centre;
        return Rasters.Count == 1 ? Rasters[0] : Rasters.First(r => r.Frame.Extent.Contains(middle));
    }

    /// <summary>Height of the ground at a place, or of the continued ground where it is not known.</summary>
    internal double HeightAt(double x, double y)
    {
        double z = Reading.Ground.HeightAt(x, y);
        return double.IsNaN(z) && Rasters.FirstOrDefault(r => r.Frame.Extent.Contains(x, y)) is { } raster ? GridSampling.Bilinear(raster.Heights, raster.Frame, x, y) : z;
    }

    /// <summary>What a pattern works out on this survey once, to be used again.</summary>
    internal T Kept<T>(Func<T> make)
        where T : class
    {
        lock (_gate)
        {
            if (!_kept.TryGetValue(typeof(T), out object? kept))
            {
                _kept[typeof(T)] = kept = make();
            }

            return (T)kept;
        }
    }
}

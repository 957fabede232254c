using SkiaSharp;

namespace Keyline.Report;

/// <summary>Keeps labels and symbols off one another: first come, first served.</summary>
internal sealed class LabelPlacer
{
    private readonly List<SKRect> _taken = [];
    private readonly SKRect _frame;

    public LabelPlacer(SKRect frame) => _frame = frame;

    /// <summary>Takes a place whether or not it is free.</summary>
    public void Take(SKRect place) => _taken.Add(place);

    /// <summary>Takes a place if it lies in the frame and overlaps nothing taken before.</summary>
    public bool TryTake(SKRect place)
    {
        if (!_frame.Contains(place))
        {
            return false;
        }

        foreach (SKRect other in _taken)
        {
            if (other.IntersectsWith(place))
            {
                return false;
            }
        }

        _taken.Add(place);
        return true;
    }
}

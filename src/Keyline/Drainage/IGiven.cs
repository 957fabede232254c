namespace Keyline.Drainage;

/// <summary>What a cell has from the one it drains to.</summary>
internal interface IGiven
{
    /// <summary>A cell gets what is its; the one below has its own by then.</summary>
    /// <param name="cell">Its place.</param>
    /// <param name="below">The cell it drains to; -1 where it drains nowhere, off the grid or onto a missing cell.</param>
    /// <param name="code">Its direction; none where it has none.</param>
    void Give(int cell, int below, byte code);
}
